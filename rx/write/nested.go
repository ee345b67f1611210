package write

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"sync/atomic"

	"rxsplit/geo/taskdata"
	"rxsplit/internal/cores"
)

// Nested is a plan that lies in a [Folder] under a name of its own, with the bytes that
// [Plan] would write at that place.
type Nested struct {
	Name string
	Job  func() (Job, error) // is asked when its turn comes, so that few lie in memory at a time
}

// PlansError says which plans of a [Folder] could not be worked out, or not be written so that they are proved.
// Nothing is left of the folder.
type PlansError struct {
	Of []error // of each plan, in their order; nil for one that could
}

func (e *PlansError) Error() string { return errors.Join(e.Of...).Error() }

// writePlans writes and proves plans in the staged folder. It returns the digests of their
// manifests, which hold those of all their files. Where a plan can't be worked out, or no file can hold it, the
// others are still asked for theirs, so that the error, a [*PlansError], names all of them. One whose bytes
// aren't proved is named there too; what the disk refuses is the error of all.
func (f Folder) writePlans(ctx context.Context, s *stage) ([]FileSum, error) {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	sums, refused := make([]FileSum, len(f.Plans)), make([]error, len(f.Plans))
	var any atomic.Bool
	cores.Each(len(f.Plans), func(i int) {
		if ctx.Err() != nil {
			return
		}
		job, err := f.Plans[i].Job()
		if err == nil {
			job.Context = ctx
			err = job.prepare()
		}
		if err == nil && !any.Load() {
			sums[i], err = f.Plans[i].write(s, job)
			if err = ownFault(err); err != nil && refusedByDisk(err) {
				stop(err)
			}
		}
		if err != nil && ctx.Err() == nil {
			refused[i] = err
			any.Store(true)
		}
	})
	if ctx.Err() == nil && any.Load() {
		return nil, &PlansError{refused}
	}
	return sums, context.Cause(ctx)
}

// refusedByDisk reports whether an error is the system's, and of no plan.
func refusedByDisk(err error) bool {
	var file *fs.PathError
	var link *os.LinkError
	return errors.As(err, &file) || errors.As(err, &link)
}

// ownFault puts an error of a plan that is not written as it is meant into words that name no staged folder.
func ownFault(err error) error {
	if err == nil || refusedByDisk(err) || errors.Is(err, context.Canceled) {
		return err
	}
	if e := (*Error)(nil); errors.As(err, &e) && e.Err != nil {
		err = e.Err
	}
	return &Error{Path: "its plan", What: "is not written as it is meant: " + err.Error(), Hint: "nothing of it is kept; write it by itself with: rxsplit split", Err: err}
}

func (n Nested) write(s *stage, job Job) (FileSum, error) {
	if err := s.root.Mkdir(n.Name, 0o777); err != nil {
		return FileSum{}, failed(s.named, err)
	}
	root, err := s.root.OpenRoot(n.Name)
	if err != nil {
		return FileSum{}, failed(s.named, err)
	}
	defer root.Close()
	dir := filepath.Join(s.dir, n.Name)
	var to sink = newOnDisk(root)
	if job.disk != nil {
		to = job.disk(root)
	}
	if _, err := job.into(s.named, dir, to); err != nil {
		return FileSum{}, err
	}
	if tasks := filepath.Join(dir, taskdata.Folder); isFolder(tasks) {
		err = syncDir(tasks)
	}
	if err = errors.Join(err, syncDir(dir)); err != nil {
		return FileSum{}, failed(s.named, err)
	}
	return n.sum(s.dir)
}

// sum digests the manifest of a plan that lies in a folder.
func (n Nested) sum(dir string) (FileSum, error) {
	text, err := os.ReadFile(filepath.Join(dir, n.Name, manifestName))
	return FileSum{Name: path.Join(n.Name, manifestName), SHA256: Digest(text), Size: int64(len(text))}, err
}

// plansIn digests the manifests of the plans as they lie in a folder.
func (f Folder) plansIn() (sums []FileSum, err error) {
	for _, n := range f.Plans {
		sum, err := n.sum(f.Dir)
		if err != nil {
			return nil, err
		}
		sums = append(sums, sum)
	}
	return sums, nil
}
