package write

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"rxsplit/rx"
)

// approvalSchema names the form of an approval.
const approvalSchema = "rxsplit.approval/1"

// ApprovalName is the file of an approval: the one file that may be added to a plan's
// folder.
const ApprovalName = "approval.json"

// approvalFile is approval.json.
type approvalFile struct {
	Schema  string `json:"schema"`
	Plan    string `json:"plan"` // digest of the manifest, its member self
	Way     string `json:"way"`
	By      string `json:"by"`
	License string `json:"license,omitempty"`
	Note    string `json:"note,omitempty"`
	At      string `json:"at"`   // RFC 3339, in UTC
	Self    string `json:"self"` // SHA-256 of the file's bytes with these 64 digits zeroed
}

// EncodeApproval prints an approval as its file holds it.
func EncodeApproval(a rx.Approval) ([]byte, error) {
	doc := approvalFile{
		Schema: approvalSchema, Plan: a.Plan, Way: string(a.Way), By: a.By, License: a.License, Note: a.Note,
		At: a.At.UTC().Format(time.RFC3339), Self: noDigest,
	}
	text, err := indented("", doc)
	putDigest(text)
	return text, err
}

// maxApproval bounds what is read as an approval.
const maxApproval = 1 << 16

// readApproval reads the approval in a plan's folder, whatever plan it is of, and checks
// its digest of itself; nil if there is none. Whether it fits the plan says
// [Manifest.Fits].
func readApproval(dir string) (*rx.Approval, error) {
	path := filepath.Join(dir, ApprovalName)
	broken := &Error{Path: path, What: "is no approval, or was changed since it was written", Hint: "move it elsewhere; approve the plan with: rxsplit approve"}
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case err == nil && (!info.Mode().IsRegular() || info.Size() > maxApproval):
		return nil, broken
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, &Error{Path: path, What: "can't be read: " + reason(err), Err: err}
	}
	a, err := decodeApproval(text)
	if err != nil {
		broken.Err = err
		return nil, broken
	}
	return a, nil
}

// decodeApproval takes what [EncodeApproval] prints, byte for byte, and nothing else.
func decodeApproval(text []byte) (*rx.Approval, error) {
	var doc approvalFile
	if err := json.Unmarshal(text, &doc); err != nil {
		return nil, err
	}
	if doc.Schema != approvalSchema {
		return nil, fmt.Errorf("has the form %q, this version reads %q", doc.Schema, approvalSchema)
	}
	at, err := time.Parse(time.RFC3339, doc.At)
	if err != nil {
		return nil, err
	}
	a := rx.Approval{Plan: doc.Plan, Way: rx.WayName(doc.Way), By: doc.By, License: doc.License, Note: doc.Note, At: at}
	again, err := EncodeApproval(a)
	if err == nil && !bytes.Equal(again, text) {
		err = errors.New("its digest of itself is wrong")
	}
	return &a, err
}

// fits reports whether an approval is of this very plan.
func (m *Manifest) fits(a *rx.Approval) bool { return a.Plan == m.Self && string(a.Way) == m.Way }

// CheckApproval reads the approval in the plan's folder; nil if there is none. One that
// is broken, or of another plan, is a mismatch.
func (m *Manifest) CheckApproval(dir string) (*rx.Approval, []Mismatch) {
	a, err := readApproval(dir)
	if e := (*Error)(nil); errors.As(err, &e) {
		return nil, []Mismatch{{File: ApprovalName, What: e.What}}
	}
	if a == nil || m.fits(a) {
		return a, nil
	}
	return nil, []Mismatch{{File: ApprovalName, What: fmt.Sprintf("approves another plan, of digest %.12s; this one has %.12s and no approval", a.Plan, m.Self)}}
}

// Approve adds an approval to the folder of the plan that it is of, whole or not at all.
// It replaces none that stands there. The error is an [*Error].
func Approve(ctx context.Context, dir string, a rx.Approval) error {
	text, err := EncodeApproval(a)
	if err != nil {
		return &Error{Path: dir, What: err.Error(), Err: err}
	}
	s, err := stageBeside(dir)
	if err != nil {
		return &Error{Path: dir, What: "the approval could not be written: the folder that it lies in can't be written to", Hint: "approve a copy of the plan that lies where you may write", Err: err}
	}
	defer s.discard()
	if _, err := writeFile(ctx, newOnDisk(s.root), ApprovalName, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return &Error{Path: dir, What: "the approval could not be written: " + reason(err), Hint: "nothing was left behind; make room and approve again", Err: err}
	}
	if now, err := ReadManifest(dir); err != nil {
		return err
	} else if now.Self != a.Plan {
		return &Error{Path: dir, What: "was written anew by another run meanwhile", Hint: "look at that plan before you approve it"}
	}
	err = renameNew(filepath.Join(s.dir, ApprovalName), filepath.Join(s.target, ApprovalName))
	if errors.Is(err, fs.ErrExist) {
		return &Error{Path: filepath.Join(dir, ApprovalName), What: "is there already", Hint: "to approve the plan anew, move that approval elsewhere first", Err: err}
	}
	if err == nil {
		err = syncDir(s.target)
	}
	if err != nil {
		return &Error{Path: dir, What: "the approval could not be written: " + reason(err), Hint: "approve it again where the folder can be written to", Err: err}
	}
	return nil
}
