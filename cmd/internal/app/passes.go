package app

import (
	"context"

	"rxsplit/cmd/internal/report"
)

// kindPasses names what would land if a plan is driven.
const kindPasses = "passes"

// PassesAsked says how a plan is to be driven on paper.
type PassesAsked struct{}

func passesOf(map[string][]string) PassesAsked { return PassesAsked{} }

// Passes drives a written plan on paper and says what would land.
func (r Run) Passes(ctx context.Context, dir string, moved InputsAt, asked PassesAsked) (report.Ground, error) {
	return report.Ground{}, &Error{What: "not yet"}
}
