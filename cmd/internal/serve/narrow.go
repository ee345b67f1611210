package serve

import (
	"net"
	"sync"
)

// mostConnections is how many connections are open at a time; more wait, so that whoever
// opens them by the thousand takes no memory.
const mostConnections = 128

// narrow is a listener with a bound on the connections that are open.
type narrow struct {
	net.Listener
	room   chan struct{}
	closed chan struct{}
	once   sync.Once
}

func newNarrow(l net.Listener, most int) *narrow {
	return &narrow{Listener: l, room: make(chan struct{}, most), closed: make(chan struct{})}
}

// Accept waits for room, then for a connection.
func (n *narrow) Accept() (net.Conn, error) {
	select {
	case n.room <- struct{}{}:
	case <-n.closed:
		return nil, net.ErrClosed
	}
	c, err := n.Listener.Accept()
	if err != nil {
		<-n.room
		return nil, err
	}
	return &narrowConn{Conn: c, leave: sync.OnceFunc(func() { <-n.room })}, nil
}

// Close ends the waiting as well.
func (n *narrow) Close() error {
	n.once.Do(func() { close(n.closed) })
	return n.Listener.Close()
}

type narrowConn struct {
	net.Conn
	leave func()
}

// Close gives its place to another.
func (c *narrowConn) Close() error {
	defer c.leave()
	return c.Conn.Close()
}
