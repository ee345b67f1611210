package write

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"

	"rxsplit/geo/taskdata"
	"rxsplit/internal/cores"
	"rxsplit/rx"
)

// schema names the form of the manifest.
const schema = "rxsplit.plan/1"

// manifestName is the manifest's file.
const manifestName = "plan.json"

// Manifest is plan.json: what a folder holds, what it was made from and how. The
// raw members are written by whoever knows their form.
type Manifest struct {
	Schema     string          `json:"schema"`
	Tool       Tool            `json:"tool"`
	Way        string          `json:"way"`
	Stamp      string          `json:"stamp,omitempty"` // only where it was asked for
	Units      json.RawMessage `json:"units"`
	Inputs     []Input         `json:"inputs"`
	Parameters json.RawMessage `json:"parameters"`
	Summary    json.RawMessage `json:"summary"`
	Layers     []LayerTotals   `json:"layers"`
	Strips     json.RawMessage `json:"strips,omitempty"` // that are left untreated on purpose
	Findings   json.RawMessage `json:"findings"`
	Accepted   []Accepted      `json:"accepted,omitempty"`
	Files      []FileSum       `json:"files"`
	Self       string          `json:"self"` // SHA-256 of the file's bytes with these 64 digits zeroed

	Records  Records  `json:"-"` // once the plan is proved
	Unproved []string `json:"-"` // then, what of it digests alone speak for: it is of another version
	Changed  []Input  `json:"-"` // then, texts that it was made by and that stand otherwise now

	Read []FileSum `json:"-"` // its files as they were read; empty for those that could not be

	Approval *rx.Approval `json:"-"` // that stands with a plan that was proved; nil if none does
	Dropped  *rx.Approval `json:"-"` // that went with the plan that this one replaced; nil if none did
}

// Tool is the program that wrote the plan.
type Tool struct {
	Name    string `json:"name"`
	Version string `json:"version"`
}

// Input is a file that the plan was made from.
type Input struct {
	Role   string `json:"role"` // "prescription", "label", "job", "further label" or "keep-out"
	Path   string `json:"path"` // relative to the plan's folder where possible
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Size   int64  `json:"size"`
}

// Accepted is a doubt about the input that somebody has answered. The answer holds for
// these zones of this source alone.
type Accepted struct {
	Rule   string `json:"rule"`
	Field  string `json:"field,omitempty"`
	Zones  []int  `json:"zones"`  // empty where the whole file is meant
	Source string `json:"source"` // SHA-256
	Reason string `json:"reason"`
}

// acceptedOf lists the doubts that were accepted for a plan.
func acceptedOf(p *rx.Prescription, plan *rx.Plan) (list []Accepted) {
	for _, a := range plan.Accepted {
		list = append(list, Accepted{a.Rule(), a.Field, append([]int{}, a.Zones...), p.Source.SHA256(), a.Reason})
	}
	return list
}

// CompareAccepted holds the doubts that a manifest says were accepted against those of a
// plan: others are in doubt, or other zones, where the two differ.
func CompareAccepted(m *Manifest, p *rx.Prescription, plan *rx.Plan) []Mismatch {
	if reflect.DeepEqual(m.Accepted, acceptedOf(p, plan)) {
		return nil
	}
	return []Mismatch{{File: manifestName, What: "the doubts that it says were accepted are not those of the source"}}
}

// LayerTotals are what a layer amounts to, in the units of the manifest. Where
// several products are spread side by side, mass and rates are those of all of them
// together, and Products has each by itself: a treated layer's loading is of the
// treated one alone.
type LayerTotals struct {
	Name       string          `json:"name"`
	Load       []string        `json:"load"` // of RateFields, the columns that a machine loads: one for each bin
	Product    string          `json:"product"`
	Treated    bool            `json:"treated"`
	Loading    *float64        `json:"loading"`
	RateFields []string        `json:"rate_fields"`            // the columns of rates, those to load first
	RateShort  []string        `json:"shapefile_fields"`       // their names in the shapefile, which holds ten bytes of one
	RateUnits  []string        `json:"rate_units"`             // of what stands in the columns of RateFields
	RxRateUnit string          `json:"rx_rate_unit,omitempty"` // of column RX_RATE, where there is one
	Zones      int             `json:"zones"`
	Area       float64         `json:"area"`
	Mass       *float64        `json:"mass,omitempty"`
	Volume     *float64        `json:"volume,omitempty"`
	Liquids    []liquidTotals  `json:"liquids,omitempty"` // beside the stabilizer
	RateMin    float64         `json:"rate_min"`
	RateMax    float64         `json:"rate_max"`
	Products   []productTotals `json:"products,omitempty"`
}

// liquidTotals are what a layer has of a further liquid: a treated one a loading, a liquid
// one a rate.
type liquidTotals struct {
	Name    string   `json:"name"`
	Loading *float64 `json:"loading,omitempty"`
	Rate    *float64 `json:"rate,omitempty"`
	Volume  float64  `json:"volume"`
}

// productTotals are what a dry layer spreads of one of several products.
type productTotals struct {
	RateField string  `json:"rate_field"`
	Treated   bool    `json:"treated"`
	Zones     int     `json:"zones"`
	Area      float64 `json:"area"`
	Mass      float64 `json:"mass"`
	RateMin   float64 `json:"rate_min"`
	RateMax   float64 `json:"rate_max"`
}

// FileSum is one file of the folder.
type FileSum struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256"`
	Size   int64  `json:"size"`
}

const noDigest = "0000000000000000000000000000000000000000000000000000000000000000"

// encode prints the manifest and puts its own digest in.
func (m *Manifest) encode() ([]byte, error) {
	draft, err := m.draft()
	if err != nil {
		return nil, err
	}
	return m.finish(draft)
}

// noFiles stands in a draft where the list of files will.
const noFiles = `"files": null`

// draft prints the manifest of files that are still to be made.
func (m Manifest) draft() ([]byte, error) {
	m.Files, m.Self = nil, noDigest
	return indented("", m)
}

// finish puts the files and its own digest into a draft of the manifest.
func (m *Manifest) finish(draft []byte) ([]byte, error) {
	files, err := indented(" ", m.Files)
	if err != nil {
		return nil, err
	}
	at := bytes.LastIndex(draft, []byte(noFiles)) + len(noFiles)
	text := slices.Concat(draft[:at-len("null")], bytes.TrimSpace(files), draft[at:])
	m.Self = putDigest(text)
	return text, nil
}

// putDigest puts a text's digest in where it stands zeroed, and returns it.
func putDigest(text []byte) string {
	self := Digest(text)
	if at := bytes.LastIndex(text, []byte(noDigest)); at >= 0 {
		copy(text[at:], self)
	}
	return self
}

func indented(prefix string, v any) ([]byte, error) {
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	enc.SetIndent(prefix, " ")
	err := enc.Encode(v)
	return buf.Bytes(), err
}

// Digest returns the SHA-256 of a text, in hex.
func Digest(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// IsSealed reports whether a text is as it was when its digest of itself was put into it: that of the
// text with those digits zeroed.
func IsSealed(text []byte, self string) bool {
	at := bytes.LastIndex(text, []byte(self))
	if len(self) != len(noDigest) || at < 0 {
		return false
	}
	zeroed := bytes.Clone(text)
	copy(zeroed[at:], noDigest)
	return Digest(zeroed) == self
}

// maxManifest bounds what is read as a manifest.
const maxManifest = 1 << 30

func isFile(path string) bool {
	info, err := os.Stat(path)
	return err == nil && !info.IsDir()
}

// ReadManifest reads the manifest of a folder and checks its digest of itself.
func ReadManifest(dir string) (*Manifest, error) {
	path := filepath.Join(dir, manifestName)
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &Error{Path: dir, What: "holds no plan: there is no " + manifestName, Hint: "name the folder that rxsplit split wrote", Err: err}
	case err != nil && isFile(dir):
		return nil, &Error{Path: dir, What: "is a file, and a plan is a folder", Hint: "name the folder that rxsplit split wrote", Err: err}
	case err != nil:
		return nil, &Error{Path: path, What: reason(err), Hint: "name the folder that rxsplit split wrote, where you may read it", Err: err}
	case !info.Mode().IsRegular() || info.Size() > maxManifest:
		return nil, &Error{Path: path, What: "is no manifest", Hint: "name the folder that rxsplit split wrote"}
	}
	text, err := os.ReadFile(path)
	if err != nil {
		return nil, &Error{Path: path, What: reason(err), Hint: "name the folder that rxsplit split wrote, where you may read it", Err: err}
	}
	return decodeManifest(path, text)
}

func decodeManifest(path string, text []byte) (*Manifest, error) {
	changed := &Error{Path: path, What: "was changed since it was written: its digest of itself is wrong", Hint: "do not work from this folder; write the plan again with: rxsplit split"}
	var m Manifest
	if err := json.Unmarshal(text, &m); err != nil {
		changed.Err = err
		return nil, changed
	}
	if !IsSealed(text, m.Self) {
		return nil, changed
	}
	if m.Schema != schema {
		return nil, &Error{Path: path, What: fmt.Sprintf("has the form %q, this version reads %q", m.Schema, schema), Hint: "verify it with the version of rxsplit that wrote it"}
	}
	return &m, nil
}

// CheckFiles holds every file of the folder against the manifest, and keeps what it reads.
func (m *Manifest) CheckFiles(dir string) []Mismatch {
	m.Read = make([]FileSum, len(m.Files))
	return cores.Collect(len(m.Files), 1, func(i, _ int) (wrong []Mismatch) {
		f := m.Files[i]
		tell := func(format string, args ...any) {
			wrong = append(wrong, Mismatch{File: f.Name, What: fmt.Sprintf(format, args...)})
		}
		if slices.ContainsFunc(m.Files[:i], func(before FileSum) bool { return before.Name == f.Name }) {
			tell("is listed twice in %s", manifestName)
			return wrong
		}
		if !isPlanFile(f.Name) {
			tell("is no name of a file in the folder")
			return wrong
		}
		sum, size, err := sumFile(filepath.Join(dir, f.Name))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			tell(Missing)
		case err != nil:
			tell("can't be read: %s", reason(err))
		case size != f.Size:
			tell("has %d bytes, %d were written", size, f.Size)
		case sum != f.SHA256:
			tell("was changed since it was written: its SHA-256 is not the one in %s", manifestName)
		}
		if err == nil {
			m.Read[i] = FileSum{f.Name, sum, size}
		}
		return wrong
	})
}

// Others lists what else lies in a plan's folder, by name, without the approval.
func (m *Manifest) Others(dir string) []string {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil // whoever reads the plan says so
	}
	within, err := os.ReadDir(filepath.Join(dir, taskdata.Folder))
	listed := func(name string) bool {
		return slices.ContainsFunc(m.Files, func(f FileSum) bool { return f.Name == name })
	}
	var names []string
	for _, e := range entries {
		ours := e.Name() == manifestName || e.Name() == ApprovalName || listed(e.Name())
		if !ours && !(e.Name() == taskdata.Folder && err == nil && listed(taskdata.Folder+"/"+taskdata.Main)) {
			names = append(names, e.Name())
		}
	}
	for _, e := range within {
		if name := taskdata.Folder + "/" + e.Name(); !listed(name) && !slices.Contains(names, taskdata.Folder) {
			names = append(names, name)
		}
	}
	return names
}

func sumFile(path string) (sum string, size int64, err error) {
	file, err := openFile(path)
	if err != nil {
		return "", 0, err
	}
	defer file.Close()
	h := sha256.New()
	if size, err = io.Copy(h, file); err != nil {
		return "", 0, err
	}
	return hex.EncodeToString(h.Sum(nil)), size, nil
}

// openFile opens what a plan's folder holds; a pipe would be waited for.
func openFile(path string) (*os.File, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, errors.New("it is no regular file")
	}
	return os.Open(path)
}

// Missing is what a [Mismatch] says of a file that is not there.
const Missing = "is missing"

// Mismatch is one difference between a folder and what it should hold.
type Mismatch struct {
	File string
	Zone int // its number; 0 if none is meant
	What string
}

func (m Mismatch) Error() string {
	if m.Zone > 0 {
		return fmt.Sprintf("%s: zone %d: %s", m.File, m.Zone, m.What)
	}
	return m.File + ": " + m.What
}
