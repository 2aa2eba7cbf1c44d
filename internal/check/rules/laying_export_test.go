package rules

// Sharpest is for tests from outside.
var Sharpest = sharpest
