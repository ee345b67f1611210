package write

import (
	"context"
	"errors"
	"os"
	"path"
	"path/filepath"

	"rxsplit/geo/taskdata"
	"rxsplit/internal/cores"
)

// Nested is a plan that lies in a [Folder] under a name of its own, with the bytes that
// [Plan] would write at that place.
type Nested struct {
	Name string
	Job  func() (Job, error) // is asked when its turn comes, so that few lie in memory at a time
}

// writePlans writes and proves plans in the staged folder. It returns the digests of their
// manifests, which hold those of all their files.
func (f Folder) writePlans(ctx context.Context, s *stage) ([]FileSum, error) {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	sums := make([]FileSum, len(f.Plans))
	cores.Each(len(f.Plans), func(i int) {
		if ctx.Err() != nil {
			return
		}
		var err error
		if sums[i], err = f.Plans[i].write(ctx, s); err != nil {
			stop(err)
		}
	})
	return sums, context.Cause(ctx)
}

func (n Nested) write(ctx context.Context, s *stage) (FileSum, error) {
	job, err := n.Job()
	if err != nil {
		return FileSum{}, err
	}
	job.Context = ctx
	if err := job.prepare(); err != nil {
		return FileSum{}, err
	}
	if err := s.root.Mkdir(n.Name, 0o777); err != nil {
		return FileSum{}, failed(s.named, err)
	}
	root, err := s.root.OpenRoot(n.Name)
	if err != nil {
		return FileSum{}, failed(s.named, err)
	}
	defer root.Close()
	dir := filepath.Join(s.dir, n.Name)
	if _, err := job.into(s.named, dir, newOnDisk(root)); err != nil {
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
