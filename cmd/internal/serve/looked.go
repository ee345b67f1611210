package serve

import (
	"context"
	"slices"
	"sync"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
)

// looked is what is worked out of a prescription, whichever way is chosen then.
type looked struct {
	facts   []fact
	columns []column
	toName  bool
	found   []found        // before a check
	result  *report.Result // nil where there is no check
	verdict *drawing
	problem error // that stops the check
}

// memory keeps what was looked at last, so that choosing between ways takes no second look.
type memory struct {
	mu   sync.Mutex
	list []kept
}

type kept struct {
	key string
	*looked
}

const (
	mostLooked = 4
	mostZones  = 5000 // of a prescription that is kept
)

func (m *memory) get(key string) *looked {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, k := range m.list {
		if k.key == key {
			return k.looked
		}
	}
	return nil
}

func (m *memory) put(key string, l *looked) {
	if l.result != nil && len(l.result.Prescription.Zones) > mostZones {
		return
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	m.list = append(m.list, kept{key, l})
	if extra := len(m.list) - mostLooked; extra > 0 {
		m.list = slices.Delete(m.list, 0, extra)
	}
}

// lookAt reads a prescription and, where a label and the rate are known, checks it.
func (s *Server) lookAt(ctx context.Context, run app.Run, a asked, mark string) (*looked, error) {
	key := a.command("check", false) + "#" + mark
	if l := s.memory.get(key); l != nil {
		return l, nil
	}
	l, err := s.lookFirst(ctx, run, a)
	if err == nil && ctx.Err() == nil {
		s.memory.put(key, l)
	}
	return l, err
}

func (s *Server) lookFirst(ctx context.Context, run app.Run, a asked) (*looked, error) {
	file, content, err := run.Look(ctx, a.File, a.Values)
	if err != nil {
		return nil, err
	}
	units, _ := a.Values.System() // a wrong one is told by the check
	q, problem := s.request(a)
	chosen := a.Values[fieldName]
	if q != nil {
		chosen = q.Value(fieldName)
	}
	l := &looked{facts: factsOf(content, units), found: foundOf(content.Findings, units, nil), problem: problem}
	run.Progress(app.Step{Stage: "draw"})
	l.columns, l.toName = columnsOf(file, content, chosen)
	file, content = nil, nil // a large one is read again for the check
	if q == nil || l.toName {
		return l, nil
	}
	result, err := run.Check(ctx, a.File, q)
	if err != nil {
		l.problem = err
		return l, nil
	}
	run.Progress(app.Step{Stage: "draw"})
	l.result, l.verdict = &result, largeVerdicts(result)
	return l, nil
}

// request joins options with the job file; nil without an error where no label is chosen.
func (s *Server) request(a asked) (*app.Request, error) {
	if len(a.Values[labelName])+len(a.Values[jobName]) == 0 {
		return nil, nil
	}
	return app.Resolve(a.Values)
}
