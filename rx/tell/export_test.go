package tell

// Entries lists the titles of the catalogue.
func Entries() (keys []string) {
	for key := range entries() {
		keys = append(keys, key)
	}
	return keys
}
