package write

import (
	"cmp"
	"context"
	"io"

	"rxsplit/internal/cores"
)

// Folder is a folder of results to be written, all or nothing: files, and one that lists
// them with their digests.
type Folder struct {
	Dir      string // it must not exist, unless it may be replaced
	Plans    []Nested
	Files    []Extra                                            // are made after the plans
	Manifest string                                             // name of the file that lists the others
	List     func(files []FileSum, self string) ([]byte, error) // makes it, with the digest of itself as its last text
	Context  context.Context                                    // cancels the work; nil for never
	// Whole returns the self digest of what may be replaced, or why that may not; nil for nothing
	Whole func(dir string) (self string, err error)
}

// Write makes the files beside the folder's place, and gives the folder its name last. The
// error is an [*Error], or a [*PlansError].
func (f Folder) Write() error {
	ctx := cmp.Or(f.Context, context.Background())
	s, err := newStage(f.Dir, f.Whole != nil, false, f.Whole)
	if err != nil {
		return err
	}
	defer s.discard()
	plans, err := f.writePlans(ctx, s)
	if err != nil {
		return err
	}
	to := newOnDisk(s.root)
	sums, errs := make([]FileSum, len(f.Files)), make([]error, len(f.Files))
	cores.Each(len(f.Files), func(i int) { sums[i], errs[i] = writeFile(ctx, to, f.Files[i].Name, f.Files[i].Render) })
	for _, err := range errs {
		if err != nil {
			return failed(f.Dir, err)
		}
	}
	text, err := f.list(append(sums, plans...))
	if err != nil {
		return failed(f.Dir, err)
	}
	if _, err := writeFile(ctx, to, f.Manifest, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return failed(f.Dir, err)
	}
	return s.commit()
}

// list makes the file that lists the others.
func (f Folder) list(sums []FileSum) ([]byte, error) {
	text, err := f.List(sums, noDigest)
	putDigest(text)
	return text, err
}

// Compare holds a folder on the disk against what its files should be, byte for byte, and names the first
// difference of each. What lies in its plans is for [Same] to compare.
func (f Folder) Compare() ([]Mismatch, error) {
	ctx, to := cmp.Or(f.Context, context.Background()), &againstDisk{dir: f.Dir}
	var sums []FileSum
	for _, file := range f.Files {
		sum, err := writeFile(ctx, to, file.Name, file.Render)
		if err != nil {
			return nil, err
		}
		sums = append(sums, sum)
	}
	plans, err := f.plansIn()
	if err != nil {
		return nil, err
	}
	text, err := f.list(append(sums, plans...))
	if err != nil {
		return nil, err
	}
	_, err = writeFile(ctx, to, f.Manifest, func(w io.Writer) error { _, err := w.Write(text); return err })
	return to.wrong, err
}
