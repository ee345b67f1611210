package app

import (
	"strconv"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Options of task data that act together.
const (
	taskDataName = "task-data"
	polygonsName = "polygons"
	gridTypeName = "grid-type"
)

// ofTaskData lists the options that say how a plan is written for the terminals of ISO
// 11783-10. What a terminal takes is not a matter of the field: no job file says it.
func ofTaskData() []Option {
	return []Option{
		{
			Name: taskDataName, Splits: true, Kind: Switch, Help: "also write the layers as a TASKDATA folder (ISO 11783-10) for the terminal",
			act: quantity(func(s *settings) *bool { return &s.tasks.Wanted }, strconv.ParseBool),
		}, {
			Name: "one-task", Splits: true, Kind: Switch, Help: "with --task-data: spreader and boom in one task, for one pass on one terminal",
			act: quantity(func(s *settings) *bool { return &s.tasks.OneTask }, strconv.ParseBool),
		}, {
			Name: gridTypeName, Splits: true, Choices: []string{"2", "1"}, Help: "with --task-data: 2, a rate a cell, or 1, a code a cell (default 2)",
			act: chosen(func(s *settings) *rx.TaskForm { return &s.tasks.Form }, map[string]rx.TaskForm{"1": rx.CodeGrid, "2": rx.RateGrid},
				"is no type of grid", "terminals know type 1, a code a cell, and type 2, a rate a cell"),
		}, {
			Name: polygonsName, Splits: true, Kind: Switch, Help: "with --task-data: polygons instead of a grid; fewer terminals take them",
			act: func(s *settings, v []string) error {
				on, err := strconv.ParseBool(v[0])
				if on {
					s.tasks.Form = rx.TaskPolygons
				}
				return err
			},
		}, {
			Name: "cell", Splits: true, Help: "with --task-data: side of a cell (default 5 m, or more for a very large field)",
			act: quantity(func(s *settings) *unit.Length { return &s.tasks.Cell }, aboveZero(unit.Parse[unit.Length], `such as --cell "5 m"`)),
		}, {
			Name: "position-lost", Splits: true, Choices: []string{"off", "rate"}, Help: "with --task-data: whether the liquid stops where the position is lost, or holds its rate: off or rate (default off)",
			act: chosen(func(s *settings) *bool { return &s.tasks.Hold }, map[string]bool{"off": false, "rate": true},
				"is neither off nor rate", "off stops the liquid where the position is lost; rate holds it"),
		},
	}
}

// ofPlans refuses options that act with another one that nobody gives, or that contradict.
func (v Values) ofPlans() error {
	for _, with := range []struct {
		name, what string
		options    []Option
	}{{taskDataName, "task data", ofTaskData()}, {stripsName, "untreated strips", ofStrips()}} {
		for _, o := range with.options {
			if one := v.one(with.name); o.Name != with.name && len(v[o.Name]) > 0 && v.one(o.Name) != "false" && (one == "" || one == "false") {
				return &Error{What: "--" + o.Name + " is about " + with.what + ", and none are asked for", Hint: "add --" + with.name}
			}
		}
	}
	if v.one(polygonsName) == "true" && len(v[gridTypeName]) > 0 {
		return &Error{What: "--" + polygonsName + " and --" + gridTypeName + " exclude each other", Hint: "leave one of them out"}
	}
	return nil
}
