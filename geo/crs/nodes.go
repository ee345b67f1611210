package crs

import "slices"

// name returns the node's first value, which has to be a string.
func (n *node) name() (string, *RefusedError) {
	if n.values[0].kind != stringValue {
		return "", refuse(BadSyntax, n.keyword, "its name is missing")
	}
	return n.values[0].text, nil
}

// number returns the value at an index, which has to be a number.
func (n *node) number(index int) (float64, *RefusedError) {
	if index >= len(n.values) || n.values[index].kind != numberValue {
		return 0, refuse(BadSyntax, n.label(), "its number is missing")
	}
	return n.values[index].number, nil
}

// label is the node as an error names it.
func (n *node) label() string {
	if n.values[0].kind == stringValue {
		return n.keyword + " " + quote(n.values[0].text)
	}
	return n.keyword
}

// all returns the inner nodes with a keyword.
func (n *node) all(keyword string) []*node {
	var found []*node
	for _, v := range n.values {
		if v.kind == nodeValue && v.node.keyword == keyword {
			found = append(found, v.node)
		}
	}
	return found
}

// one returns the only inner node with a keyword.
func (n *node) one(keyword string) (*node, *RefusedError) {
	found := n.all(keyword)
	if len(found) != 1 {
		why := "its " + keyword + " is missing"
		if len(found) > 1 {
			why = "it has more than one " + keyword
		}
		return nil, refuse(BadSyntax, n.label(), why)
	}
	return found[0], nil
}

// onlyParts refuses inner nodes other than those with the keywords, and values
// beyond the given number of plain ones: whatever is not understood could change
// what the text means. AUTHORITY and METADATA never do.
func (n *node) onlyParts(plain int, keywords ...string) *RefusedError {
	for i, v := range n.values {
		if v.kind != nodeValue {
			if i >= plain {
				return refuse(BadSyntax, n.label(), "a value too many: "+quote(v.text))
			}
			continue
		}
		k := v.node.keyword
		if k != "AUTHORITY" && k != "METADATA" && !slices.Contains(keywords, k) {
			return refuse(UnknownPart, n.keyword+": "+v.node.label(), "a part that is not understood here")
		}
	}
	return nil
}

// authority returns the EPSG code that the node carries; 0 if there is none.
func (n *node) authority() int {
	for _, a := range n.all("AUTHORITY") {
		if len(a.values) != 2 || fold(a.values[0].text) != "epsg" {
			continue
		}
		code := 0
		for _, c := range []byte(a.values[1].text) {
			if c < '0' || c > '9' || code > 1e6 {
				return 0
			}
			code = code*10 + int(c-'0')
		}
		return code
	}
	return 0
}
