// Package strictyaml reads small YAML files that people write by hand into
// structs, and answers every mistake with its file, line, column and key.
//
// A struct field takes part with a tag: `yaml:"season-max"`, or
// `yaml:"name,required"`. Its type may be a string, a bool, an int, a struct, a
// pointer to a struct, a slice of these, an [encoding.TextUnmarshaler] such as
// the quantities of package unit, or an [Optional] around any of them. With the
// tag `bare:"min"` a number without a unit gets that unit; with the tag
// `alone:"both"` one value may stand for a struct whose fields are alike, and fills
// all of them.
//
// All mistakes are found in one pass: unknown and repeated keys, missing ones,
// values of another type or dimension. What can be said of the values afterwards
// is added with [Document.Fail], which knows where each key stood.
//
// Of YAML only what such files need is taken: one document of mappings, lists
// and scalars. Anchors, aliases, tags, merge keys and further documents are
// mistakes. Scalars are taken as they are written, so that 03 stays "03".
package strictyaml
