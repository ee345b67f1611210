package report

import (
	"rxsplit/rx/record"
	"rxsplit/rx/write"
)

// Record is what is known of an application, with what it was put together from.
type Record struct {
	record.Record
	Field   string
	Plan    string // the digest of its manifest
	Version string
	Inputs  []write.Input

	Approved bool // the plan is
}

// RecordCautions are what whoever keeps such a record must know.
var RecordCautions = []string{
	"This is a check of completeness and no claim of compliance: which records must be kept, and for how long, is for the law of the place and the licensed applicator to say.",
	"Which federal rule asks for which entry stands here from memory: read the rule. States ask for more.",
	"The label in hand and local rules come first.",
}
