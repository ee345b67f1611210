//go:build !linux

// Package pages has memory come in large pages.
package pages

// Large does something on Linux alone.
func Large(int64) {}
