package app

import (
	"context"
	"fmt"

	"rxsplit/rx"
	"rxsplit/rx/sheet"
	"rxsplit/rx/write"
)

// Approve proves a written plan and adds an approval to its folder: who, with which
// license and note, and when, as said has it. It returns the approval and the release
// card. Where said names nobody, it returns those of the approval that stands. A plan that
// is not whole, or approved already, is refused.
func (r Run) Approve(ctx context.Context, dir string, moved InputsAt, said rx.Approval) (*rx.Approval, rx.Sheet, error) {
	again := said.By == "" && said.License == "" && said.Note == ""
	if err := said.Check(); err != nil && !again {
		return nil, rx.Sheet{}, &Error{What: err.Error(), Hint: `say who approves with --by "NAME"`, Err: err}
	}
	m, c, result, err := r.prove(ctx, dir, moved)
	if err != nil {
		return nil, rx.Sheet{}, err
	}
	stands := m.Approval
	switch {
	case again && stands == nil:
		return nil, rx.Sheet{}, &Error{What: dir + ": is not approved", Hint: `to approve it, say who does with --by "NAME"`}
	case again:
		said = *stands
	case stands != nil:
		return nil, rx.Sheet{}, &Error{
			What: fmt.Sprintf("%s: is approved already, by %s", dir, stands.By),
			Hint: "print that release card by leaving out --by; to approve the plan anew, move " + write.ApprovalName + " elsewhere first",
		}
	default:
		said.Plan, said.Way = m.Self, rx.WayName(m.Way)
		if err := r.tell(ctx, Step{Stage: "approve"}); err != nil {
			return nil, rx.Sheet{}, err
		}
		if err := write.Approve(ctx, dir, said); err != nil {
			return nil, rx.Sheet{}, canceled(ctx, err)
		}
	}
	return &said, sheet.Release(c.prescription, c.assessment, result.Plan, result.Ways, &said), nil
}
