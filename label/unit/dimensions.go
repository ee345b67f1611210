package unit

// dimensions lists every quantity, to say what a text of the wrong one is.
var dimensions = []*dimension{
	&areaUnits,
	&dryRateUnits,
	&liquidRateUnits,
	&loadingUnits,
	&massUnits,
	&volumeUnits,
	&densityUnits,
	&lengthUnits,
	&speedUnits,
	&pressureUnits,
	&flowUnits,
	&capacityUnits,
	&timeUnits,
	&ratioUnits,
	&moneyUnits,
	&volumePriceUnits,
	&massPriceUnits,
	&areaPriceUnits,
	&grainPriceUnits,
	&massFlowUnits,
	&bulkFlowUnits,
}
