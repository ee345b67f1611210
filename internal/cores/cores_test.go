package cores_test

import (
	"errors"
	"fmt"
	"runtime"
	"slices"
	"testing"

	"rxsplit/internal/cores"
)

// Sizes around the border of a block, on one core and on several.
func TestEveryItemOnceAndInOrder(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(0))
	for procs := 1; procs < 5; procs++ {
		runtime.GOMAXPROCS(procs)
		for _, n := range []int{0, 1, 9, 10, 11, 1000} {
			var want []int
			for i := range n {
				want = append(want, i)
			}
			got := cores.Collect(n, 10, func(from, to int) (items []int) {
				if to <= from || to-from > 10 || to > n {
					t.Errorf("%d items: a block from %d to %d", n, from, to)
				}
				for i := from; i < to; i++ {
					items = append(items, i)
				}
				return items
			})
			if !slices.Equal(got, want) {
				t.Errorf("%d items on %d cores: got %v", n, procs, got)
			}
			calls := make([]int, n)
			cores.Each(n, func(i int) { calls[i]++ })
			if slices.ContainsFunc(calls, func(c int) bool { return c != 1 }) {
				t.Errorf("%d items on %d cores: called %v times", n, procs, calls)
			}
		}
	}
}

func TestFirstErrorInOrderOfItems(t *testing.T) {
	for range 50 {
		err := cores.Try(100, 10, func(from, _ int) error {
			if from >= 30 {
				return fmt.Errorf("block from %d", from)
			}
			return nil
		})
		if err == nil || err.Error() != "block from 30" {
			t.Fatalf("got %v, want that of the block from 30", err)
		}
	}
	if err := cores.Try(0, 10, func(int, int) error { return errors.New("called") }); err != nil {
		t.Error(err)
	}
}

// As many calls run at a time as are asked for: each waits for all the others.
func TestWorkersRunSideBySide(t *testing.T) {
	const workers = 7
	arrived := make(chan struct{}, workers)
	all := make(chan struct{})
	cores.EachOf(workers, workers, func(int) {
		if arrived <- struct{}{}; len(arrived) == workers {
			close(all)
		}
		<-all
	})
}
