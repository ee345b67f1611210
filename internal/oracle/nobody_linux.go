package oracle

import (
	"os"
	"runtime"
	"testing"

	"golang.org/x/sys/unix"
)

// Nobody is the user that owns nothing.
const Nobody = 65534

// AsNobody does what somebody does who is not root and owns nothing: only its thread, which ends
// with it, looks at files so.
func AsNobody(t *testing.T, do func()) {
	t.Helper()
	done := make(chan struct{})
	go func() {
		defer close(done)
		runtime.LockOSThread()
		if os.Geteuid() == 0 {
			if err := unix.Setfsuid(Nobody); err != nil {
				t.Error(err)
			}
		}
		do()
	}()
	<-done
}
