package app

// What tests ask of a folder.
var (
	IsGround = isGround
	IsRecord = isRecord
)
