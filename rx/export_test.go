package rx

import "rxsplit/label"

// WithHowTo adds a thing that every label says on how to impregnate, until undo is called.
func WithHowTo(says string, narrow func(*Bounds)) (undo func()) {
	before := howTos
	howTos = append(howTos[:len(howTos):len(howTos)], howTo{Key: "tried", Says: says, narrow: func(_ *label.Profile, b *Bounds) { narrow(b) }})
	return func() { howTos = before }
}
