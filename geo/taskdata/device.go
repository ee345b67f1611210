package taskdata

import (
	"fmt"
	"slices"
	"strconv"
)

// device is a machine as it describes itself.
type device struct {
	ID       string
	Name     string
	Elements []deviceElement
}

// deviceElement is a part of a device: the whole of it, a boom, a bin, a section, an antenna.
type deviceElement struct {
	ID         string
	Name       string
	Kind       int           // 1 device, 2 function, 3 bin, 4 section, 5 unit, 6 connector, 7 navigation
	Parent     int           // index of the elements; -1 for none
	Properties map[DDI]int32 // that never change, such as widths and offsets
}

// navigation is the kind of the element that holds the antenna.
const navigation = 7

// allocation says which product an element applies.
type allocation struct{ Product, Element string }

// device reads what a device says of itself; what can't be read of it is left out, as a log
// can be read without.
func (d *decoder) device(e *element) {
	out := device{ID: e.attr("A"), Name: e.attr("B")}
	properties := map[string]element{}
	for _, p := range e.all("DPT") {
		properties[p.attr("A")] = *p
	}
	numbers := map[string]int{} // of the objects of elements
	for i, det := range e.all("DET") {
		numbers[det.attr("B")] = i
	}
	for _, det := range e.all("DET") {
		kind, _ := strconv.Atoi(det.attr("C"))
		one := deviceElement{ID: det.attr("A"), Name: det.attr("D"), Kind: kind, Parent: -1, Properties: map[DDI]int32{}}
		if parent, ok := numbers[det.attr("F")]; ok && det.attr("F") != det.attr("B") {
			one.Parent = parent
		}
		for _, dor := range det.all("DOR") {
			p, ok := properties[dor.attr("A")]
			if !ok {
				continue
			}
			ddi, known := parseDDI(p.attr("B"))
			value, err := strconv.ParseInt(p.attr("C"), 10, 32)
			if known && err == nil {
				one.Properties[ddi] = int32(value)
			}
		}
		out.Elements = append(out.Elements, one)
	}
	d.s.Devices = append(d.s.Devices, out)
}

// element finds an element of any device.
func (s *Set) element(id string) (*device, int) {
	for i := range s.Devices {
		at := slices.IndexFunc(s.Devices[i].Elements, func(e deviceElement) bool { return e.ID == id })
		if at >= 0 && id != "" {
			return &s.Devices[i], at
		}
	}
	return nil, -1
}

// line lists the IDs of an element and of all above it, the nearest first. A description
// that goes in a circle ends.
func (s *Set) line(id string) []string {
	list := []string{id}
	device, at := s.element(id)
	for device != nil && device.Elements[at].Parent >= 0 && len(list) <= len(device.Elements) {
		at = device.Elements[at].Parent
		list = append(list, device.Elements[at].ID)
	}
	return list
}

// property returns what an element, or one above it, says of itself.
func (s *Set) property(id string, of ...DDI) (int32, bool) {
	for _, ddi := range of {
		for _, one := range s.line(id) {
			device, at := s.element(one)
			if device == nil {
				continue
			}
			if v, ok := device.Elements[at].Properties[ddi]; ok {
				return v, true
			}
		}
	}
	return 0, false
}

// antenna returns how far the antenna is from an element, in meters: forward of it, and to
// its left. It is known where one device describes both.
func (s *Set) antenna(id string) (forward, left float64, known bool) {
	device, at := s.element(id)
	if device == nil {
		return 0, 0, false
	}
	boom, ok := offset(device, at)
	for !ok && device.Elements[at].Parent >= 0 && at != device.Elements[at].Parent {
		at = device.Elements[at].Parent
		boom, ok = offset(device, at)
		if at == 0 {
			break
		}
	}
	for i, e := range device.Elements {
		if place, has := offset(device, i); e.Kind == navigation && has && ok {
			return place[0] - boom[0], boom[1] - place[1], true
		}
	}
	return 0, 0, false
}

// offset is where an element lies, in meters forward and right of its device's point of
// reference.
func offset(d *device, at int) (o [2]float64, known bool) {
	p := d.Elements[at].Properties
	x, isX := p[offsetForward]
	y, isY := p[offsetRight]
	return [2]float64{float64(x) / 1000, float64(y) / 1000}, isX || isY
}

// DDI is an entry of the data dictionary of ISO 11783-11: what a number counts.
type DDI uint16

// The entries that are read or written. Name, number, unit and resolution of each are
// those of the public data dictionary.
const (
	SetpointVolumePerArea DDI = 0x0001 // 0.01 mm³/m²
	actualVolumePerArea   DDI = 0x0002
	SetpointMassPerArea   DDI = 0x0006 // mg/m²
	actualMassPerArea     DDI = 0x0007
	actualWorkingWidth    DDI = 0x0043 // mm
	maximumWorkingWidth   DDI = 0x0046 // mm
	VolumeContent         DDI = 0x0048 // ml
	MassContent           DDI = 0x004B // g
	offsetForward         DDI = 0x0086 // mm
	offsetRight           DDI = 0x0087 // mm
	actualWorkState       DDI = 0x008D // 0 off, 1 on
	actualSections        DDI = 0x00A1 // to 0x00B0: 16 sections each, two bits a section
	defaultData           DDI = 0xDFFF // whatever a device offers to log
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

// medium is what a rate is a rate of.
type medium int

// The media.
const (
	otherMedium medium = iota
	dryMass
	liquidVolume
)

// medium says what a setpoint or an actual rate is a rate of; other entries are of none.
func (d DDI) medium() medium {
	switch d {
	case SetpointMassPerArea, actualMassPerArea:
		return dryMass
	case SetpointVolumePerArea, actualVolumePerArea:
		return liquidVolume
	}
	return otherMedium
}
