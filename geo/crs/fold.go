package crs

// fold brings the spellings of a name to one: ASCII letters in lower case and
// digits, nothing else, so that "False_Easting" is "false easting".
func fold(name string) string {
	folded := make([]byte, 0, len(name))
	for i := range len(name) {
		switch c := name[i]; {
		case 'A' <= c && c <= 'Z':
			folded = append(folded, c+'a'-'A')
		case 'a' <= c && c <= 'z', '0' <= c && c <= '9':
			folded = append(folded, c)
		}
	}
	return string(folded)
}
