package serve

import (
	"context"
	"net"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"rxsplit/cmd/internal/app"
)

// A page that nobody waits for is not worked out; what writes goes on.
func TestForgets(t *testing.T) {
	for _, writes := range []bool{false, true} {
		synctest.Test(t, func(t *testing.T) {
			ws, over := newWorks(t.Context()), make(chan struct{})
			work, err := ws.do(&task{writes: writes}, "", func(ctx context.Context, _ app.Run) made {
				select {
				case <-ctx.Done():
				case <-over:
				}
				return made{}
			})
			if err != nil {
				t.Fatal(err)
			}
			for range 3 {
				time.Sleep(forgotten - time.Second)
				work.ask()
			}
			work.waits(1)
			time.Sleep(time.Hour)
			work.waits(-1)
			time.Sleep(forgotten - time.Second)
			if work.isDone() {
				t.Error("it is forgotten though somebody waits")
			}
			time.Sleep(2 * time.Second)
			if work.isDone() == writes {
				t.Errorf("what nobody waits for and writes %t is done: %t", writes, work.isDone())
			}
			close(over)
			ws.alive.Wait()
		})
	}
}

// The program ends when nobody has asked for long, and nothing is being worked out.
func TestEndsWhenNobodyAsks(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := &server{options: Options{Idle: 30 * time.Minute, Now: time.Now}, asked: time.Now()}
		s.ended, s.end = context.WithCancel(t.Context())
		s.works = newWorks(s.ended)
		go s.watch()
		goesOn := func(d time.Duration) {
			time.Sleep(d)
			if s.ended.Err() != nil {
				t.Errorf("it has ended after %s", d)
			}
		}
		goesOn(29 * time.Minute)
		s.mu.Lock()
		s.asked = time.Now()
		s.mu.Unlock()
		goesOn(29 * time.Minute)
		over := make(chan struct{})
		s.works.do(&task{writes: true}, "", func(context.Context, app.Run) made { <-over; return made{} })
		goesOn(2 * time.Hour)
		close(over)
		time.Sleep(time.Minute)
		if s.ended.Err() == nil {
			t.Error("it goes on though nobody asks")
		}
	})
}

// endless is a listener that always has one more connection.
type endless struct{ net.Listener }

func (endless) Accept() (net.Conn, error) { c, _ := net.Pipe(); return c, nil }
func (endless) Close() error              { return nil }

// No more connections are open than may be; the next comes when one goes.
func TestNarrow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		n := newNarrow(endless{}, 2)
		var mu sync.Mutex
		var open []net.Conn
		go func() {
			for {
				c, err := n.Accept()
				if err != nil {
					return
				}
				mu.Lock()
				open = append(open, c)
				mu.Unlock()
			}
		}()
		for want := 2; want < 5; want++ {
			synctest.Wait()
			mu.Lock()
			come := slices.Clone(open)
			mu.Unlock()
			if len(come) != want {
				t.Fatalf("%d have come, want %d", len(come), want)
			}
			come[want-2].Close()
			come[want-2].Close() // a second time gives no second place
		}
		n.Close()
	})
}
