package equip

import (
	"rxsplit/label"
	"rxsplit/label/unit"
)

// Prices are what the job's products and work cost; all may be unknown.
type Prices struct {
	Stabilizer   label.Known[unit.VolumePrice] `yaml:"stabilizer"`
	SecondLiquid label.Known[unit.VolumePrice] `yaml:"second-liquid"` // the further liquid that is impregnated
	DryingAgent  label.Known[unit.MassPrice]   `yaml:"drying-agent"`
	Blending     label.Known[unit.MassPrice]   `yaml:"blending"`      // impregnating a mass of dry
	DrySpreading label.Known[unit.AreaPrice]   `yaml:"dry-spreading"` // one pass
	WetBoom      label.Known[unit.AreaPrice]   `yaml:"wet-boom"`      // on top of the dry pass
	ExtraPass    label.Known[unit.AreaPrice]   `yaml:"extra-pass"`    // a further pass of the spreader
	Nitrogen     label.Known[unit.MassPrice]   `yaml:"nitrogen"`      // of N, not of product
	Crop         label.Known[unit.GrainPrice]  `yaml:"crop"`
}

// BreakEven returns the bushels that pay for a cost: cost ÷ price per bushel. It
// promises no yield. It is not known without the crop's price above 0.
func (p Prices) BreakEven(cost unit.Money) (bushels float64, known bool) {
	price, ok := p.Crop.Get()
	if !ok || price <= 0 {
		return 0, false
	}
	return float64(cost) / float64(price/unit.DollarPerBushel), true
}
