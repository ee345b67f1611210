package write

import (
	"context"
	"io"
)

// sink takes the files of a plan as they are made: onto the disk, where they are written, or
// against the disk, where they are proved. Both go by the one list of files, that of [Job.make].
type sink interface {
	create(ctx context.Context, name string) (made, error)
	settle(files []FileSum) error // once they are made: fills in what close left out
}

// made is one file in the making.
type made interface {
	io.Writer
	close() (FileSum, error) // once all of it is written; the digest may come later
	abandon()                // where that failed; after close it does nothing
}
