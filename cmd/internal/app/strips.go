package app

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx/readout"
)

const stripsName = "strips"

// mostStrips is more than fit on any field that one reads by hand.
const mostStrips = 100

// ofStrips lists the options that say which strips stay without stabilizer. They are of one field
// and one year: no job file says them.
func ofStrips() []Option {
	return []Option{
		{
			Name: stripsName, Splits: true, Kind: Number, Help: "leave so many untreated strips out of the liquid layer, to see at harvest what the stabilizer was worth",
			act: func(s *settings, v []string) error {
				n, err := strconv.Atoi(v[0])
				if err != nil || n < readout.Fewest || n > mostStrips {
					return &Error{What: fmt.Sprintf("%s is no number of strips from %d to %d", v[0], readout.Fewest, mostStrips), Hint: "fewer say nothing, as they have no interval; 6 to 8 are usual"}
				}
				s.terms.Strips.Count = n
				return nil
			},
		}, {
			Name: "strip-length", Splits: true, Help: "with --strips: how long each is read, such as 600 ft (the default)",
			act: func(s *settings, v []string) error {
				l, err := unit.Parse[unit.Length](v[0])
				if err == nil && !(l > 0) {
					err = &Error{What: v[0] + " is not above 0", Hint: `such as --strip-length "600 ft"`}
				}
				s.terms.Strips.Length = label.Know(l)
				return err
			},
		}, {
			Name: "azimuth", Splits: true, Help: "with --strips: direction of the passes, degrees clockwise from north (default along the longest edge)",
			act: func(s *settings, v []string) error {
				a, err := azimuthOf(v[0])
				s.terms.Strips.Azimuth = label.Know(a)
				return err
			},
		}, {
			Name: "offset", Splits: true, Help: "with --strips: how far outside the field's edge the first pass begins (default 0)",
			act: quantity(func(s *settings) *unit.Length { return &s.terms.Strips.Offset }, unit.Parse[unit.Length]),
		}, {
			Name: "strip-headland", Splits: true, Help: "with --strips: what is kept to the edge of the ground that gets dry (default two widths of the boom)",
			act: func(s *settings, v []string) error {
				l, err := unit.Parse[unit.Length](v[0])
				s.terms.Strips.Headland = label.Know(l)
				return err
			},
		}, {
			Name: "header", Splits: true, Help: "with --strips: width of the combine's header, such as 30 ft",
			act: quantity(func(s *settings) *unit.Length { return &s.terms.Strips.Header }, unit.Parse[unit.Length]),
		}, {
			Name: "seed", Splits: true, Kind: Number, Help: "with --strips: another number draws other places (default 1)",
			act: func(s *settings, v []string) (err error) {
				n, err := strconv.ParseInt(v[0], 10, 32)
				if err != nil || n < 0 {
					return &Error{What: v[0] + " is no whole number from 0 on"}
				}
				s.terms.Strips.Seed = uint64(n)
				return nil
			},
		},
	}
}

// azimuthOf reads a direction.
func azimuthOf(text string) (float64, error) {
	a, err := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(text, "°")), 64)
	if err != nil || !(math.Abs(a) <= 360) {
		return 0, &Error{What: text + " is no direction", Hint: "give degrees clockwise from north, such as --azimuth 90"}
	}
	return a, nil
}
