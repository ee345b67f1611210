package invent

import (
	"runtime"
	"sync"
)

// onAllCores calls do for consecutive parts of 0 to n, the end excluded, side by
// side, and returns the error of the first part that has one.
func onAllCores(n int, do func(from, to int) error) error {
	parts := max(1, min(runtime.GOMAXPROCS(0), n/1024))
	errs := make([]error, parts)
	var wg sync.WaitGroup
	for i := range parts {
		wg.Go(func() { errs[i] = do(i*n/parts, (i+1)*n/parts) })
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
