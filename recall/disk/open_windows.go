package disk

// atOnce are the flags of opening that make it wait for nobody; no file of this
// system needs any.
const atOnce = 0
