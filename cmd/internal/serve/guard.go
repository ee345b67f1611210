package serve

import (
	"crypto/subtle"
	"mime"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"rxsplit/cmd/internal/app"
)

// cookieName is the cookie that holds the key.
const cookieName = "rxsplit-key"

// guard lets only those in who came by the address that the program printed. Whatever
// another page of the browser, another program or another user of the machine may send, it
// has not got the key.
//
//   - Host must be this very address: a name that was pointed at 127.0.0.1 is refused.
//   - A POST must come from a page of this address, by its Origin.
//   - A page is asked for without a body. What is refused is not read, so that nobody keeps
//     connections busy by sending slowly.
//   - The key of the first address becomes a cookie that no script reads and no other site
//     sends, and leaves the address.
func (s *server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		headers(w.Header())
		switch {
		case r.Host != s.host:
			s.refuse(w, http.StatusMisdirectedRequest, "This address is not the one that the program printed.")
		case r.Method != http.MethodGet && r.Method != http.MethodHead && r.Method != http.MethodPost, r.Method != http.MethodPost && r.ContentLength != 0:
			s.refuse(w, http.StatusMethodNotAllowed, "Pages are read and sent, nothing else.")
		case !s.ownOrigin(r):
			s.refuse(w, http.StatusForbidden, "Another page sent this.")
		case !strings.HasPrefix(r.URL.Path, s.prefix):
			s.refuse(w, http.StatusNotFound, noKey)
		case s.firstVisit(r):
			http.SetCookie(w, &http.Cookie{Name: cookieName, Value: s.key, Path: s.prefix, HttpOnly: true, SameSite: http.SameSiteStrictMode})
			http.Redirect(w, r, s.prefix, http.StatusSeeOther)
		case !s.hasKey(r):
			s.refuse(w, http.StatusForbidden, noKey)
		default:
			s.mu.Lock()
			s.asked = s.options.Now()
			s.mu.Unlock()
			next.ServeHTTP(w, r)
		}
	})
}

const noKey = "Open the address that the program printed when it was started; each start has an address of its own."

// headers keep a page to itself: nothing from elsewhere, in no frame, with no script but
// the one file that we serve, kept by nobody.
func headers(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
}

// ownOrigin reports whether what is sent was sent by a page of ours. A browser says where
// a POST comes from; a program that says nothing is no page.
func (s *server) ownOrigin(r *http.Request) bool {
	origin := r.Header.Get("Origin")
	if r.Method == http.MethodPost {
		return origin == "http://"+s.host
	}
	return origin == "" || origin == "http://"+s.host
}

func (s *server) firstVisit(r *http.Request) bool {
	return r.Method == http.MethodGet && r.URL.Path == s.prefix && same(r.URL.Query().Get("key"), s.key)
}

func (s *server) hasKey(r *http.Request) bool {
	c, err := r.Cookie(cookieName)
	return err == nil && same(c.Value, s.key)
}

// same compares in a time that tells nothing.
func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

// mostForm bounds a form that holds no file.
const mostForm = 1 << 18

// formed reads the form of a request before its page sees it, in bounds of size and time.
// What brings files, a page reads by itself: they may be large, and take long.
func (s *server) formed(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/drop" {
			next.ServeHTTP(w, r)
			return
		}
		line := http.NewResponseController(w)
		line.SetReadDeadline(time.Now().Add(s.heading))
		r.Body = http.MaxBytesReader(w, r.Body, mostForm)
		err := r.ParseForm()
		kind, _, _ := mime.ParseMediaType(r.Header.Get("Content-Type"))
		if err != nil || r.ContentLength != 0 && kind != "application/x-www-form-urlencoded" {
			s.cut(w)
			s.failed(w, http.StatusBadRequest, &app.Error{What: "the form can't be read", Hint: "go back and try again", Err: err})
			return
		}
		line.SetReadDeadline(time.Time{})
		next.ServeHTTP(w, r)
	})
}

// cut ends a connection with the answer that is about to be written, and reads no more of it.
func (s *server) cut(w http.ResponseWriter) {
	http.NewResponseController(w).SetReadDeadline(time.Now())
	w.Header().Set("Connection", "close")
}

// refuse says why nothing is shown, and nothing of the folder.
func (s *server) refuse(w http.ResponseWriter, status int, why string) {
	s.cut(w)
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.WriteHeader(status)
	w.Write([]byte(why + "\n"))
}

// mostConnections is how many connections are open at a time; more wait, so that whoever
// opens them by the thousand takes no memory.
const mostConnections = 128

// narrow is a listener with a bound on the connections that are open.
type narrow struct {
	net.Listener
	room   chan struct{}
	closed chan struct{}
	once   sync.Once
}

func newNarrow(l net.Listener, most int) *narrow {
	return &narrow{Listener: l, room: make(chan struct{}, most), closed: make(chan struct{})}
}

// Accept waits for room, then for a connection.
func (n *narrow) Accept() (net.Conn, error) {
	select {
	case n.room <- struct{}{}:
	case <-n.closed:
		return nil, net.ErrClosed
	}
	c, err := n.Listener.Accept()
	if err != nil {
		<-n.room
		return nil, err
	}
	return &narrowConn{Conn: c, leave: sync.OnceFunc(func() { <-n.room })}, nil
}

// Close ends the waiting as well.
func (n *narrow) Close() error {
	n.once.Do(func() { close(n.closed) })
	return n.Listener.Close()
}

type narrowConn struct {
	net.Conn
	leave func()
}

// Close gives its place to another.
func (c *narrowConn) Close() error {
	defer c.leave()
	return c.Conn.Close()
}
