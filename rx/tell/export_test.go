package tell

// Entries lists the titles of the catalogue.
func Entries() (keys []string) {
	for key := range entries() {
		keys = append(keys, key)
	}
	return keys
}

// Parse reads a catalogue.
func Parse(text string) error {
	_, err := parse(text)
	return err
}
