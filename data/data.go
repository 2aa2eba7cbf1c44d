// Package data embeds the catalogue: rows of numbers, each with its source.
package data

import "embed"

// Files holds the catalogue's YAML files and the open-circuit voltages in
// lfp_ocv.csv.
//
//go:embed *.yaml lfp_ocv.csv
var Files embed.FS
