package taskdata

import (
	"fmt"
	"strconv"
)

// DDI is an entry of the data dictionary of ISO 11783-11: what a number counts.
type DDI uint16

// The entries that are read or written. Name, number, unit and resolution of each are
// those of the public data dictionary.
const (
	SetpointVolumePerArea DDI = 0x0001 // 0.01 mm³/m²
	ActualVolumePerArea   DDI = 0x0002
	SetpointMassPerArea   DDI = 0x0006 // mg/m²
	ActualMassPerArea     DDI = 0x0007
	ActualWorkingWidth    DDI = 0x0043 // mm
	MaximumWorkingWidth   DDI = 0x0046 // mm
	VolumeContent         DDI = 0x0048 // ml
	MassContent           DDI = 0x004B // g
	OffsetForward         DDI = 0x0086 // mm
	OffsetRight           DDI = 0x0087 // mm
	ActualWorkState       DDI = 0x008D // 0 off, 1 on
	ActualSections        DDI = 0x00A1 // to 0x00B0: 16 sections each, two bits a section
	DefaultData           DDI = 0xDFFF // whatever a device offers to log
)

// lastSections is the last of the entries for sections.
const lastSections DDI = 0x00B0

// String returns the four hexadecimal digits by which task data names an entry.
func (d DDI) String() string { return fmt.Sprintf("%04X", uint16(d)) }

// parseDDI reads hexadecimal digits: four are right, fewer are taken.
func parseDDI(text string) (DDI, bool) {
	v, err := strconv.ParseUint(text, 16, 16)
	return DDI(v), err == nil
}

// Medium is what a rate is a rate of.
type Medium int

// The media.
const (
	OtherMedium Medium = iota
	DryMass
	LiquidVolume
)

// Medium says what a setpoint or an actual rate is a rate of; other entries are of none.
func (d DDI) Medium() Medium {
	switch d {
	case SetpointMassPerArea, ActualMassPerArea:
		return DryMass
	case SetpointVolumePerArea, ActualVolumePerArea:
		return LiquidVolume
	}
	return OtherMedium
}
