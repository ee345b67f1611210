package equip

import "rxsplit/label/strictyaml"

// Questions lists what a form asks of a job, in the order of the file.
func Questions() []strictyaml.Form { return strictyaml.Forms(new(Job)) }

// Written returns what a job file says of each key, as it is written, whatever is wrong with
// the rest of it.
func Written(text []byte) *strictyaml.Document { return strictyaml.Decode("", text, new(Job)) }
