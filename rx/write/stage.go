// Package write puts a plan on disk, all or nothing and the same bytes every time,
// and proves what is there by reading it back.
package write

import (
	"crypto/rand"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"rxsplit/geo/taskdata"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// Error says why a plan could not be written, and what to do next.
type Error struct {
	Path string
	What string
	Hint string
	Err  error
}

func (e *Error) Error() string { return e.Path + ": " + e.What }

// Unwrap returns what lies behind the error.
func (e *Error) Unwrap() error { return e.Err }

// stage is a folder beside the target in which the files are made; nobody sees
// them under the target's name before all are whole.
type stage struct {
	named  string // the target as the user wrote it, for messages
	target string // the same, absolute
	dir    string
	root   *os.Root
	lock   io.Closer
	before string // the self digest of what stands at the target; empty if there is nothing
	// whole returns the self digest of results that may be replaced; nil where plans may
	whole func(dir string) (self string, err error)
	// dropped is the approval that went with the plan that stood there; nil if none did
	dropped *rx.Approval
}

const stageMark = ".rxsplit-"

// newStage prepares a staging folder beside target. Without force the target must
// not exist; with it, a whole plan of ours may stand there or, where whole is given, what
// that says. What is no plan itself never takes the place of one.
func newStage(target string, force, isPlan bool, whole func(dir string) (self string, err error)) (*stage, error) {
	abs, err := filepath.Abs(target)
	if err != nil {
		return nil, &Error{Path: target, What: err.Error(), Err: err}
	}
	s := &stage{named: target, target: abs, whole: whole}
	if err := s.look(force, isPlan); err != nil {
		return nil, err
	}
	return s, s.make()
}

// stageBeside prepares a staging folder for what is to be put into target.
func stageBeside(target string) (*stage, error) {
	abs, err := filepath.Abs(target)
	if err != nil {
		return nil, &Error{Path: target, What: err.Error(), Err: err}
	}
	s := &stage{named: target, target: abs}
	return s, s.make()
}

// make makes the staging folder, after those that killed runs left.
func (s *stage) make() (err error) {
	sweep(s.target)
	for range 3 { // another run may sweep a folder away before it is locked
		if err = s.open(); err == nil {
			return nil
		}
		s.discard()
	}
	if errors.Is(err, fs.ErrNotExist) {
		return &Error{Path: s.named, What: "there is no folder " + filepath.Dir(s.named) + " to write it into", Hint: "make that folder first, or choose another place with --out", Err: err}
	}
	return &Error{Path: s.named, What: "its folder can't be written to: " + reason(err), Hint: "choose another place with --out", Err: err}
}

// open makes the staging folder and takes its lock.
func (s *stage) open() error {
	var random [6]byte
	if _, err := rand.Read(random[:]); err != nil {
		return err
	}
	dir := filepath.Join(filepath.Dir(s.target), stageName(filepath.Base(s.target))+hex.EncodeToString(random[:]))
	if err := os.Mkdir(dir, 0o777); err != nil {
		return err
	}
	s.dir = dir
	var err error
	if s.lock, err = lockDir(dir); err != nil {
		return err
	}
	s.root, err = os.OpenRoot(dir)
	return err
}

// stageName is the start of a staging folder's name; a base name that is too long
// to be extended is cut.
func stageName(base string) string {
	if len(base) > 200 {
		base = base[:200]
	}
	return "." + base + stageMark
}

// look makes sure that the target may be made, or replaced.
func (s *stage) look(force, isPlan bool) error {
	info, err := os.Lstat(s.target)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return s.notInPlan()
	case err != nil:
		return &Error{Path: s.named, What: reason(err), Hint: "choose another place with --out", Err: err}
	case !info.IsDir():
		return &Error{Path: s.named, What: "is there already and is no folder", Hint: "choose another name with --out"}
	case !force:
		hint := "choose a new folder with --out"
		if isPlan && isFile(filepath.Join(s.target, manifestName)) {
			hint += ", or replace the plan in it with --force"
		}
		return &Error{Path: s.named, What: "is there already", Hint: hint}
	case !canExchange:
		return &Error{Path: s.named, What: "can't be replaced in one step on this system", Hint: "choose a new folder with --out"}
	}
	if s.whole != nil {
		if s.before, err = s.whole(s.target); err != nil {
			return &Error{Path: s.named, What: "is not replaced: " + err.Error(), Hint: "choose a new folder with --out", Err: err}
		}
		return nil
	}
	manifest, err := ReadManifest(s.target)
	if err != nil {
		return &Error{Path: s.named, What: "holds no whole plan, so it is not replaced", Hint: "choose a new folder with --out", Err: err}
	}
	s.before = manifest.Self
	if err := s.isAsWritten(manifest); err != nil {
		return err
	}
	return s.holdsOthers(manifest, s.target)
}

// isAsWritten refuses to replace a plan that somebody changed.
func (s *stage) isAsWritten(m *Manifest) error {
	problems := m.CheckFiles(s.target)
	if len(problems) == 0 {
		return nil
	}
	if err := s.stillHolds(m.Self, s.target); err != nil { // what differs is of a plan that came between the two looks
		return err
	}
	return &Error{Path: s.named, What: "holds a plan that was changed since it was written, so it is not replaced: " + problems[0].Error(), Hint: "choose a new folder with --out"}
}

// notInPlan refuses a new folder inside of a plan: a plan holds what its manifest lists.
func (s *stage) notInPlan() error {
	dir, err := filepath.EvalSymlinks(filepath.Dir(s.target))
	for above := ""; err == nil && dir != above; dir = filepath.Dir(dir) {
		if _, no := ReadManifest(dir); no == nil {
			return &Error{Path: s.named, What: "lies in the plan " + dir + ", and nothing else is written into a plan", Hint: "choose a folder beside the plan with --out"}
		}
		above = dir
	}
	return nil
}

// holdsOthers refuses to replace a folder in which something lies that is not of its
// plan: it would go with it.
func (s *stage) holdsOthers(m *Manifest, dir string) error {
	others := m.Others(dir)
	if _, err := readApproval(dir); err != nil { // an approval goes with its plan, other things of that name don't
		others = append(others, ApprovalName)
	}
	if len(others) == 0 {
		return nil
	}
	if err := s.stillHolds(m.Self, dir); err != nil { // the others are of a plan that came between
		return err
	}
	return &Error{Path: s.named, What: "holds what is not of its plan, so it is not replaced: " + tell.Listed(others, 3), Hint: "move that elsewhere, or choose a new folder with --out; rxsplit verify lists all of it"}
}

// sweep removes staging folders that a run left behind when it was killed: those
// whose lock nobody holds.
func sweep(target string) {
	dir, mark := filepath.Dir(target), stageName(filepath.Base(target))
	entries, err := os.ReadDir(dir)
	if err != nil || !canExchange { // without locks nobody can tell which are in use
		return
	}
	for _, entry := range entries {
		if !entry.IsDir() || !strings.HasPrefix(entry.Name(), mark) {
			continue
		}
		path := filepath.Join(dir, entry.Name())
		if lock, err := lockDir(path); err == nil {
			os.RemoveAll(path)
			lock.Close()
		}
	}
}

// commit puts the staged folder in the target's place.
func (s *stage) commit() error {
	if tasks := filepath.Join(s.dir, taskdata.Folder); isFolder(tasks) {
		if err := syncDir(tasks); err != nil {
			return err
		}
	}
	if err := syncDir(s.dir); err != nil {
		return err
	}
	if s.before == "" {
		if err := renameNew(s.dir, s.target); err != nil {
			if errors.Is(err, fs.ErrExist) {
				return &Error{Path: s.named, What: "was made by somebody else meanwhile", Hint: "look at it, then choose a new folder with --out", Err: err}
			}
			return &Error{Path: s.named, What: reason(err), Hint: "choose another place with --out", Err: err}
		}
		return syncDir(filepath.Dir(s.target))
	}
	if err := s.isStill(s.target); err != nil {
		return err
	}
	if err := s.replace(); err != nil {
		return err
	}
	return syncDir(filepath.Dir(s.target))
}

// isStill makes sure that a folder holds the plan that is to be replaced, and nothing
// else.
func (s *stage) isStill(dir string) error {
	if s.whole != nil {
		if self, err := s.whole(dir); err != nil || self != s.before {
			return s.meanwhile(err)
		}
		return nil
	}
	now, err := ReadManifest(dir)
	if err != nil || now.Self != s.before {
		return s.meanwhile(err)
	}
	return s.holdsOthers(now, dir)
}

// stillHolds tells whether another run has put its plan in a folder since the digest of
// the plan in it was read.
func (s *stage) stillHolds(self, dir string) error {
	if now, err := ReadManifest(dir); err != nil || now.Self != self {
		return s.meanwhile(err)
	}
	return nil
}

// meanwhile is the error of a plan that another run put in this one's place.
func (s *stage) meanwhile(err error) error {
	return &Error{Path: s.named, What: "was written by another run meanwhile", Hint: "look at what is there; to replace it, run again", Err: err}
}

// replace exchanges the staged folder and the target, and gives the target back its
// place where it turns out that another run, or a file that is not of the plan, slipped
// in.
func (s *stage) replace() error {
	if err := exchange(s.dir, s.target); err != nil {
		return &Error{Path: s.named, What: "can't be replaced in one step here: " + reason(err), Hint: "choose a new folder with --out", Err: err}
	}
	if err := s.isStill(s.dir); err != nil {
		if back := exchange(s.dir, s.target); back == nil {
			return err
		}
	}
	s.dropped, _ = readApproval(s.dir) // a broken one was refused
	return nil
}

// discard removes what is staged, or the old plan after it was exchanged.
func (s *stage) discard() {
	if s.root != nil {
		s.root.Close()
	}
	if s.dir != "" {
		os.RemoveAll(s.dir)
	}
	if s.lock != nil {
		s.lock.Close()
	}
	s.root, s.dir, s.lock = nil, "", nil
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

func syncDir(path string) error {
	dir, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("%s: %s", path, reason(err))
	}
	defer dir.Close()
	if err := dir.Sync(); err != nil && !errors.Is(err, errors.ErrUnsupported) && !isInvalid(err) {
		return fmt.Errorf("%s: %s", path, reason(err))
	}
	return nil
}

// reason returns what the system said, without the path that it repeats.
func reason(err error) string {
	var pe *fs.PathError
	var le *os.LinkError
	switch {
	case errors.As(err, &pe):
		return pe.Err.Error()
	case errors.As(err, &le):
		return le.Err.Error()
	}
	return err.Error()
}
