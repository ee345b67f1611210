package serve

import (
	"errors"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"os"
	"strings"
	"time"

	"rxsplit/cmd/internal/app"
)

// claimName is a file in the folder that says where it is shown, as long as it is. Only its
// owner can read it: it holds the key.
const claimName = ".rxsplit-serve"

// Shown is the error of a folder that another run of the program shows already.
type Shown struct{ Address string }

// Error says where it is shown.
func (e *Shown) Error() string { return "this folder is shown already: " + e.Address }

// claim says where the folder is shown. The error is a [*Shown] where another run does so;
// one that was killed is told by its not answering.
func (f *folder) claim(address string) error {
	for range 3 {
		file, err := f.root.OpenFile(claimName, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
		if err == nil {
			_, err = io.WriteString(file, address)
			if closed := file.Close(); err == nil {
				err = closed
			}
			return err
		}
		if !errors.Is(err, fs.ErrExist) {
			return nil // a folder that can't be written to: nobody writes over anything
		}
		other, err := f.claimed()
		switch {
		case errors.Is(err, fs.ErrPermission):
			return &app.Error{What: "another user of this machine shows this folder, or did and was stopped", Hint: "end it there; if nobody does, remove " + claimName + " from the folder"}
		case isShownAt(other):
			return &Shown{other}
		}
		f.root.Remove(claimName)
	}
	return nil
}

// claimed reads where the folder is said to be shown; a run that begins at this moment has
// not written it yet.
func (f *folder) claimed() (string, error) {
	for wait := 0; ; wait++ {
		file, err := f.root.Open(claimName)
		if err != nil {
			return "", err
		}
		text, err := io.ReadAll(io.LimitReader(file, 300))
		file.Close()
		if len(text) > 0 || err != nil || wait == 5 {
			return string(text), err
		}
		time.Sleep(50 * time.Millisecond)
	}
}

// isShownAt reports whether a program of ours answers at an address.
func isShownAt(address string) bool {
	at, err := url.Parse(address)
	if err != nil || at.Scheme != "http" || at.Hostname() != "127.0.0.1" {
		return false
	}
	client := &http.Client{
		Timeout: 2 * time.Second, Transport: &http.Transport{DisableKeepAlives: true},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}
	r, err := client.Get(address)
	if err != nil {
		return false
	}
	r.Body.Close()
	return strings.HasPrefix(r.Header.Get("Set-Cookie"), cookieName+"=")
}

// leave takes the claim back.
func (f *folder) leave(address string) {
	if other, err := f.claimed(); err == nil && other == address {
		f.root.Remove(claimName)
	}
}
