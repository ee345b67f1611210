package app

import (
	"context"
	"maps"
	"path/filepath"
	"slices"

	"rxsplit/rx/check"
	"rxsplit/rx/write"
)

// mostKept bounds what is kept of a day's files between deciding and writing, in bytes.
const mostKept = 64 << 20

// keep lets go of what a field's file holds where the day has no room for it. With other files beside it,
// keep-outs or what was applied already, it is read anew.
func (d *Day) keep(f *dayField) *dayField {
	if c := f.checked; c != nil {
		size := int64(len(c.prescription.LonLat.Points)*2*perPoint + len(c.prescription.Zones)*10*perRecord)
		if c.keepOutFiles != nil || c.alreadyFiles != nil || d.kept.Add(size) > mostKept {
			f.checked = nil
		}
	}
	return f
}

// again holds a field's prescription against what the day has decided. The file is read anew where what
// was read of it is let go, or no longer what lies there.
func (r Run) again(ctx context.Context, f *dayField, q *Request) (*checked, error) {
	if f.checked == nil || !f.checked.lies() {
		return r.assess(ctx, f.shown.Path, q)
	}
	one := *f.checked
	one.request = q
	if q.asksWith(f.checked.request) {
		return &one, nil
	}
	s, err := q.settings()
	if err != nil {
		return nil, err
	}
	if one.assessment, err = check.Again(one.prescription, s.terms, one.assessment); err != nil {
		return nil, err
	}
	one.given, one.tasks = s.given, s.tasks
	one.toRelease()
	return &one, nil
}

// lies reports whether the files of a prescription hold what was read of them.
func (c *checked) lies() bool {
	source := c.prescription.Source
	for _, f := range source.Files {
		text, err := readUpTo(filepath.Join(filepath.Dir(source.Path), f.Name), f.Size+1)
		if err != nil || write.Digest(text) != f.SHA256 {
			return false
		}
	}
	return true
}

// asksWith reports whether two requests differ in the way that is taken at most.
func (q *Request) asksWith(other *Request) bool {
	one, two := maps.Clone(q.values), maps.Clone(other.values)
	delete(one, wayName)
	delete(two, wayName)
	return maps.EqualFunc(one, two, slices.Equal[[]string])
}
