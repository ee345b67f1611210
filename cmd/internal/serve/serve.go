// Package serve shows a folder as pages of this machine, for those who use no terminal:
// what the command line does there, with the same files as its result. It holds no state
// but the folder, and shows the command of whatever it does.
//
// It counts every name from the working directory, as a command that is typed there does,
// so that the same files come out byte for byte. A [server] listens on 127.0.0.1 alone, and
// answers nobody who has not got its key: see guard.go. What may take long is a task with a
// progress and a way to cancel it: see works.go. The label in hand comes before its pages.
package serve

import (
	"context"
	"crypto/rand"
	"encoding/hex"
	"errors"
	"html/template"
	"net"
	"net/http"
	"os"
	"strconv"
	"sync"
	"time"
)

// Options say how a [server] runs.
type Options struct {
	Idle time.Duration    // it ends when nobody has asked for so long; 0 for never
	Now  func() time.Time // the clock
}

// Server shows the working directory.
type server struct {
	options  Options
	folder   *folder
	key      string // that the first address holds, and then the cookie
	prefix   string // of every path: a cookie is kept to it, so that other ports don't get it
	host     string
	line     net.Listener
	pages    *template.Template
	works    *works
	patience time.Duration   // how long an answer may take before it tells of its progress
	heading  time.Duration   // how long the head of a request may take to come
	memory   memory          // of what was checked
	files    memory          // of what the files hold
	cards    map[string]card // of the folder's page, as it was last; touched by one task at a time
	writing  sync.Mutex      // held by whoever changes what the folder holds, and never while a page sends

	ended context.Context
	end   context.CancelFunc

	mu    sync.Mutex
	asked time.Time // when somebody asked last
}

// New listens on a port of 127.0.0.1, on a free one for 0, for the working directory. Where
// another run shows that already, the error is a [*Shown].
func New(port int, o Options) (*server, error) {
	wd, err := os.Getwd()
	var root *os.Root
	if err == nil {
		root, err = os.OpenRoot(".")
	}
	if err != nil {
		return nil, err
	}
	line, err := net.ListenTCP("tcp4", &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: port})
	if err != nil {
		root.Close()
		return nil, err
	}
	s := &server{
		options: o, folder: &folder{root: root, path: wd}, key: random(32), prefix: "/" + random(6) + "/",
		host: line.Addr().String(), line: line, asked: o.Now(),
		patience: 400 * time.Millisecond, heading: 5 * time.Second,
	}
	s.ended, s.end = context.WithCancel(context.Background())
	s.works = newWorks(s.ended)
	if s.pages, err = parsePages(); err == nil {
		err = s.folder.claim(s.Address())
	}
	if err != nil {
		line.Close()
		root.Close()
		return nil, err
	}
	return s, nil
}

// random returns n random bytes in hex.
func random(n int) string {
	b := make([]byte, n)
	rand.Read(b) // never fails
	return hex.EncodeToString(b)
}

// Address is where the first page is, with the key.
func (s *server) Address() string { return "http://" + s.host + s.prefix + "?key=" + s.key }

// Serve answers until the context ends, somebody asks for the end, or nobody has asked for
// long enough. What is being written then is stopped and leaves nothing behind.
func (s *server) Serve(ctx context.Context) error {
	server := s.web()
	context.AfterFunc(ctx, s.end)
	go s.watch()
	go func() {
		<-s.ended.Done()
		brief, cancel := context.WithTimeout(context.Background(), 2*time.Second)
		defer cancel()
		if server.Shutdown(brief) != nil {
			server.Close()
		}
	}()
	err := server.Serve(newNarrow(s.line, mostConnections))
	s.end()
	s.works.alive.Wait()
	s.folder.leave(s.Address())
	s.folder.root.Close()
	if errors.Is(err, http.ErrServerClosed) {
		return nil
	}
	return err
}

// web is the server of the standard library, with bounds on how long anybody may take.
func (s *server) web() *http.Server {
	return &http.Server{
		Handler:           s.guard(s.routes()),
		ReadHeaderTimeout: s.heading,
		ReadTimeout:       uploadTime,
		WriteTimeout:      5 * time.Minute,
		IdleTimeout:       time.Minute,
		MaxHeaderBytes:    1 << 15,
	}
}

// watch ends the server when nobody has asked for long.
func (s *server) watch() {
	if s.options.Idle <= 0 {
		return
	}
	tick := time.NewTicker(min(s.options.Idle/4, 10*time.Second))
	defer tick.Stop()
	for {
		select {
		case <-s.ended.Done():
			return
		case <-tick.C:
			s.mu.Lock()
			quiet := s.options.Now().Sub(s.asked)
			s.mu.Unlock()
			if quiet >= s.options.Idle && !s.works.busy() {
				s.end()
			}
		}
	}
}

// routes lists the pages. What changes the folder is a POST.
func (s *server) routes() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", s.start)
	mux.HandleFunc("GET /field", s.field)
	for kind := range textFiles() {
		mux.HandleFunc("GET /"+kind, s.textForm(kind))
		mux.HandleFunc("POST /"+kind, s.save(kind))
	}
	mux.HandleFunc("POST /try", s.try)
	mux.HandleFunc("POST /drop", s.drop)
	mux.HandleFunc("POST /demo", s.demo)
	mux.HandleFunc("POST /split", s.split)
	mux.HandleFunc("GET /plan", s.plan)
	mux.HandleFunc("POST /verify", s.verify)
	mux.HandleFunc("POST /approve", s.approve)
	mux.HandleFunc("GET /zip", s.zip)
	mux.HandleFunc("GET /show/{plan...}", s.show)
	mux.HandleFunc("GET /work", s.work)
	mux.HandleFunc("GET /step", s.step)
	mux.HandleFunc("POST /cancel", s.cancel)
	mux.HandleFunc("POST /quit", s.quit)
	mux.HandleFunc("GET /static/{name}", s.static)
	mux.HandleFunc("/", s.nothing)
	return http.StripPrefix(s.prefix[:len(s.prefix)-1], s.formed(mux))
}

// quit ends the program.
func (s *server) quit(w http.ResponseWriter, r *http.Request) {
	m := s.page("ended.html", ended{s.frame("Ended"), s.works.busy()})
	w.Header().Set("Content-Length", strconv.Itoa(len(m.body)))
	s.write(w, m)
	http.NewResponseController(w).Flush()       // it is whole before the end
	time.AfterFunc(200*time.Millisecond, s.end) // its style sheet comes meanwhile
}

type ended struct {
	frame
	Busy bool
}
