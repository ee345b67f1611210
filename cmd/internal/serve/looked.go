package serve

import (
	"context"
	"fmt"
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
func (s *server) lookAt(ctx context.Context, run app.Run, a asked, mark string) (*looked, error) {
	key := a.command("check", false) + "#" + mark
	if l := s.memory.get(key); l != nil {
		return l, nil
	}
	l, err := s.lookFirst(ctx, run, a, mark)
	if err == nil && ctx.Err() == nil {
		s.memory.put(key, l)
	}
	return l, err
}

func (s *server) lookFirst(ctx context.Context, run app.Run, a asked, mark string) (*looked, error) {
	q, problem := s.request(a)
	chosen := a.Values[fieldName]
	if q != nil {
		chosen = q.Value(fieldName)
	}
	file, err := s.lookInto(ctx, run, a, chosen, mark)
	if err != nil {
		return nil, err
	}
	l := *file
	l.problem = problem
	if q != nil && len(a.Values[fieldName]) == 0 {
		if missing := l.without(chosen); len(missing) > 0 {
			l.toName, l.problem = true, notInFile(missing)
		}
	}
	if q == nil || l.toName {
		return &l, nil
	}
	app.Settle() // what was looked at is read again
	result, err := run.Check(ctx, a.File, q)
	if err != nil {
		l.problem = err
		return &l, nil
	}
	run.Progress(app.Step{Stage: "draw"})
	l.result, l.verdict = &result, largeVerdicts(result)
	return &l, nil
}

// lookInto looks at the file alone, which no label and no wish changes.
func (s *server) lookInto(ctx context.Context, run app.Run, a asked, chosen []string, mark string) (*looked, error) {
	opens := app.Values{}
	for _, o := range app.Options() {
		if o.Opens || o.Name == unitsName {
			opens[o.Name] = a.Values[o.Name]
		}
	}
	key := app.Command(a.File, opens) + fmt.Sprintf("#%q#", chosen) + mark
	if l := s.files.get(key); l != nil {
		return l, nil
	}
	file, content, err := run.Look(ctx, a.File, opens)
	if err != nil {
		return nil, err
	}
	units, _ := a.Values.System() // a wrong one is told by the check
	l := &looked{facts: factsOf(content, units), found: foundOf(content.Findings, units, nil)}
	run.Progress(app.Step{Stage: "draw"})
	l.columns, l.toName = columnsOf(file, content, chosen)
	if ctx.Err() == nil {
		s.files.put(key, l)
	}
	return l, nil
}

// request joins options with the job file; nil without an error where no label is chosen.
func (s *server) request(a asked) (*app.Request, error) {
	if len(a.Values[labelName])+len(a.Values[jobName]) == 0 {
		return nil, nil
	}
	return app.Resolve(a.Values)
}
