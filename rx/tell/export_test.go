package tell

import "rxsplit/rx/words"

// Entries lists the titles of the catalogue.
func Entries() (keys []string) {
	all, err := words.Parse(catalogue)
	if err != nil {
		panic("findings.txt: " + err.Error())
	}
	for key := range all {
		keys = append(keys, key)
	}
	return keys
}

// InNumbers prints a quantity in a form of the catalogue.
var InNumbers = inNumbers

// Quantity is what a form prints.
type Quantity = quantity
