package page

// Style returns the style sheet of the page, for other pages that are to look alike.
func Style() string {
	style, _ := joined("*.css") // embedded: it is there
	return string(style)
}
