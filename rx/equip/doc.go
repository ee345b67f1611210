// Package equip holds the equipment of a job with its arithmetic: the dry blend,
// the blender, the spreader and the wet boom, what they cost, and the job file
// that people describe them in.
//
// Each formula is a small function with its source beside it. Where a figure is
// common practice without a published source, or was quoted from memory, its
// comment says so. The label and the makers' manuals in hand come first.
package equip
