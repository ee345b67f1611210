package page

import (
	"crypto/sha256"
	"encoding/base64"
	"fmt"
)

// policyOf is the page's Content-Security-Policy: nothing is loaded, and no style or script
// works but those that the page was made with. [W3C, Content Security Policy Level 3]
func policyOf(style, script string) string {
	hash := func(text string) string {
		sum := sha256.Sum256([]byte(text))
		return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	return fmt.Sprintf("default-src 'none'; style-src %s; script-src %s; base-uri 'none'; form-action 'none'", hash(style), hash(script))
}
