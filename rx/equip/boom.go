package equip

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Speeds are the lowest, usual and highest ground speed of a machine.
type Speeds struct {
	Low   unit.Speed `yaml:"low,required"`
	Usual unit.Speed `yaml:"usual,required"`
	High  unit.Speed `yaml:"high,required"`
}

// Boom is a wet boom. One from a job file has all values above 0, in order, and at
// least one nozzle.
type Boom struct {
	Width    unit.Length                `yaml:"width,required"`
	Spacing  unit.Length                `yaml:"spacing,required"` // from nozzle to nozzle
	Volume   unit.LiquidRate            `yaml:"volume,required"`  // of the whole mix
	Tank     unit.Volume                `yaml:"tank,required"`
	Nozzles  []Nozzle                   `yaml:"nozzles,required"` // sizes on hand
	Pressure label.Range[unit.Pressure] `yaml:"pressure,required"`
	Speed    Speeds                     `yaml:"speed,required"`
}

// NozzleCount returns how many nozzles the boom carries.
func (b Boom) NozzleCount() int { return int(math.Round(float64(b.Width / b.Spacing))) }

// Flow returns the flow of the whole boom at its volume and a speed.
func (b Boom) Flow(speed unit.Speed) unit.Flow { return FlowOver(b.Width, b.Volume, speed) }

// NozzleFlow returns the flow of one nozzle at the boom's volume and a speed.
func (b Boom) NozzleFlow(speed unit.Speed) unit.Flow { return FlowOver(b.Spacing, b.Volume, speed) }
