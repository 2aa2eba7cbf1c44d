// Package quantity holds the physical quantities of a battery bank as distinct
// types: parsed at the way in, plain SI inside, printed at the way out in the
// reader's units.
//
// # Reading
//
// [Parse] reads a number and a unit as a person writes them: "4 mΩ",
// "0.35 mohm", "1 ft 3 1/2 in", "20 °F", "150 Ah". Nothing is guessed: a bare
// number, a decimal comma, a unit of another kind or an unknown unit is an
// error that says what would mend it. [ParseSize] reads a conductor's trade
// size.
//
// The text is held as an exact fraction, multiplied by the unit's exact
// factor, and rounded to float64 once. So "0.35 mΩ" is the float64 nearest to
// 0.00035, the same bits on every machine, and a value printed at 17 digits in
// any unit reads back as itself (temperatures from 64 K on).
//
// # Printing
//
// [Format] picks the prefix a fitter expects; [Show] prints lengths and
// temperatures in one reader's habit; [FormatIn] prints in a unit that is
// named, for a line that keeps the person's own unit.
//
// Sources of the factors stand beside them in the unit table.
package quantity
