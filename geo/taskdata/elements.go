package taskdata

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode/utf8"
)

// attribute is what an element may say: facts of the published schemas 3.3 and 4.3.
type attribute struct {
	name     string
	required bool
	v4       bool // from version 4 on
	valid    func(text string) string
}

// kind is what an element may say and hold.
type kind struct {
	attrs    []attribute
	children string // names, parted by spaces
	anything bool   // an element whose attributes are not held against a table
}

func must(name string, valid func(string) string) attribute {
	return attribute{name: name, required: true, valid: valid}
}

func may(name string, valid func(string) string) attribute {
	return attribute{name: name, valid: valid}
}

func later(name string, valid func(string) string) attribute {
	return attribute{name: name, v4: true, valid: valid}
}

// elements says what each element of a set may say and hold.
var elements = map[string]kind{
	"ISO11783_TaskData": {
		attrs: []attribute{
			must("VersionMajor", oneOf("3", "4")), must("VersionMinor", whole(0, 99)),
			must("ManagementSoftwareManufacturer", text), must("ManagementSoftwareVersion", text),
			may("TaskControllerManufacturer", text), may("TaskControllerVersion", text),
			must("DataTransferOrigin", oneOf("1", "2")), later("lang", text),
		},
		children: "CTR FRM PFD PDT PGP VPN TSK WKR DVC CPC OTQ CTP CCT CCG CLD XFR AFE BSN TCC",
	},
	"CTR": {attrs: append([]attribute{must("A", id("CTR")), must("B", text), may("C", text)}, texts("D", "M")...)},
	"FRM": {attrs: append([]attribute{must("A", id("FRM")), must("B", text), may("I", id("CTR"))}, texts("C", "H")...)},
	"PFD": {
		attrs: []attribute{
			must("A", id("PFD")), may("B", text), must("C", text), must("D", whole(0, 4294967294)), may("E", id("CTR")),
			may("F", id("FRM")), may("G", id("CTP")), may("H", id("CVT")), may("I", id("PFD")),
		},
		children: "PLN LSG PNT",
	},
	"PDT": {
		attrs: []attribute{
			must("A", id("PDT")), must("B", text), may("C", id("PGP")), may("D", id("VPN")), may("E", oneOf("0048", "004B", "004E")),
			later("F", oneOf("1", "2")), later("G", text), later("H", whole(0, math.MaxInt32)), later("I", text), later("J", text),
		},
		children: "PLR",
	},
	"VPN": {attrs: []attribute{
		must("A", id("VPN")), must("B", whole(math.MinInt32, math.MaxInt32)), must("C", number(1e-9, 1e8)), must("D", whole(0, 7)), may("E", text), later("F", text),
	}},
	"TSK": {
		attrs: []attribute{
			must("A", id("TSK")), may("B", text), may("C", id("CTR")), may("D", id("FRM")), may("E", id("PFD")), may("F", id("WKR")),
			must("G", whole(1, 6)), may("H", whole(0, mostCode)), may("I", whole(0, mostCode)), may("J", whole(0, mostCode)),
		},
		children: "TZN GRD DLT PAN TIM TLG OTP WAN DAN CNN CAN CAT GAN",
	},
	"TZN": {
		attrs:    []attribute{must("A", whole(0, mostCode)), may("B", text), may("C", whole(0, 254))},
		children: "PLN PDV",
	},
	"PDV": {attrs: []attribute{
		must("A", hex4), must("B", whole(math.MinInt32, math.MaxInt32)), may("C", id("PDT")), may("D", id("DET")), may("E", id("VPN")),
		later("F", text), later("G", text),
	}},
	"GRD": {attrs: []attribute{
		must("A", number(-90, 90)), must("B", number(-180, 180)), must("C", size(0, 1)), must("D", size(0, 1)),
		must("E", whole(1, math.MaxInt32)), must("F", whole(1, math.MaxInt32)), must("G", matches(`^GRD\d{5}$`, "no name such as GRD00001")),
		may("H", whole(0, math.MaxInt64)), must("I", oneOf("1", "2")), may("J", whole(0, mostCode)),
	}},
	"PLN": {
		attrs:    []attribute{must("A", whole(1, 12)), may("B", text), may("C", whole(0, 4294967294)), may("D", whole(0, 254)), later("E", text)},
		children: "LSG",
	},
	"LSG": {
		attrs:    []attribute{must("A", whole(1, 9)), may("B", text), may("C", whole(0, 4294967294)), may("D", whole(0, math.MaxInt32)), may("E", whole(0, 254)), later("F", text)},
		children: "PNT",
	},
	"PNT": {attrs: []attribute{
		must("A", whole(1, 11)), may("B", text), must("C", number(-90, 90)), must("D", number(-180, 180)), may("E", whole(math.MinInt32, math.MaxInt32)),
		may("F", whole(0, 254)), later("G", text), later("H", text), later("I", text), later("J", text), later("K", text),
	}},
	"DLT": {attrs: []attribute{must("A", hex4), must("B", whole(1, 31)), may("C", id("DET")), may("D", text), may("E", text), may("F", text), may("G", text), may("H", text), may("I", text)}},
	"PAN": {attrs: []attribute{
		must("A", id("PDT")), may("B", oneOf("0048", "004B", "004E")), may("C", whole(0, math.MaxInt32)), may("D", oneOf("1", "2")), may("E", id("DET")), may("F", id("VPN")),
	}, children: "ASP"},
	"TLG": {attrs: []attribute{must("A", matches(`^TLG\d{5}$`, "no name such as TLG00001")), may("B", whole(0, math.MaxInt64)), may("C", oneOf("1"))}},
	"XFR": {attrs: []attribute{must("A", matches(`^[A-Z]{3}\d{5}$`, "no name such as TSK00001")), must("B", oneOf("1"))}},
}

// unchecked are elements of the standard whose attributes are not held against a table:
// devices, crops, workers and what a terminal writes.
var unchecked = strings.Fields("PGP WKR DVC CPC OTQ CTP CCT CCG CLD AFE BSN TCC CVT PLR DET DPD DPT DVP DOR TIM PTN DLV OTP WAN DAN CNN CAN CAT GAN ASP BNC OTR CTL GGP GPN GMI XFC PCI")

// texts are optional texts by the letters of a range, which addresses have.
func texts(from, to string) (list []attribute) {
	for c := from[0]; c <= to[0]; c++ {
		list = append(list, may(string(c), atMost(64)))
	}
	return list
}

func text(s string) string { return atMost(longestText)(s) }

func atMost(characters int) func(string) string {
	return func(s string) string {
		if utf8.RuneCountInString(s) > characters {
			return fmt.Sprintf("is longer than %d characters", characters)
		}
		return ""
	}
}

func id(letters string) func(string) string {
	return matches(`^(`+letters+`|`+letters+`-)[1-9][0-9]{0,9}$`, "no ID such as "+letters+"1")
}

func matches(pattern, why string) func(string) string {
	re := sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(pattern) }) // most runs read no task data
	return func(s string) string {
		if !re().MatchString(s) {
			return "is " + why
		}
		return ""
	}
}

var hex4 = matches(`^[0-9A-F]{4}$`, "no entry of the data dictionary in four hexadecimal digits")

func oneOf(list ...string) func(string) string {
	return func(s string) string {
		if slices.Contains(list, s) {
			return ""
		}
		return "is not " + strings.Join(list, " or ")
	}
}

func whole(least, most int64) func(string) string {
	return func(s string) string {
		v, err := strconv.ParseInt(s, 10, 64)
		switch {
		case err != nil:
			return "is no whole number"
		case v < least || v > most:
			return fmt.Sprintf("is not between %d and %d", least, most)
		}
		return ""
	}
}

var decimalNumber = regexp.MustCompile(`^[-+]?(\d+(\.\d*)?|\.\d+)$`)

// number is a decimal number, which has no exponent.
func number(least, most float64) func(string) string {
	return func(s string) string {
		v, err := strconv.ParseFloat(s, 64)
		switch {
		case err != nil || !decimalNumber.MatchString(s):
			return "is no decimal number"
		case v < least || v > most:
			return fmt.Sprintf("is not between %v and %v", least, most)
		}
		return ""
	}
}

// size is a number that may have an exponent.
func size(above, most float64) func(string) string {
	return func(s string) string {
		v, err := strconv.ParseFloat(s, 64)
		switch {
		case err != nil:
			return "is no number"
		case !(v > above && v <= most):
			return fmt.Sprintf("is not above %v and up to %v", above, most)
		}
		return ""
	}
}
