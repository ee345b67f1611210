package app

import (
	"context"
	"errors"
	"io/fs"
	"testing"
)

// Work that was canceled is told as that, whatever it failed on then; what was not canceled is
// told as it is, and what was done before the cancel came is done.
func TestCanceledIsTold(t *testing.T) {
	running := t.Context()
	stopped, stop := context.WithCancel(running)
	stop()
	for _, c := range []struct {
		ctx       context.Context
		err, want error
	}{{stopped, fs.ErrClosed, context.Canceled}, {stopped, nil, nil}, {running, fs.ErrClosed, fs.ErrClosed}, {running, nil, nil}} {
		if got := canceled(c.ctx, c.err); !errors.Is(got, c.want) || (got == nil) != (c.want == nil) {
			t.Errorf("%v is told as %v, want %v", c.err, got, c.want)
		}
	}
}
