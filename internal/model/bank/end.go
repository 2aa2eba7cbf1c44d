package bank

import (
	"fmt"
	"strconv"
	"strings"
)

// End is a place a lug can go: a post of a battery ("B1+", "B1-"), a stud
// ("S1"), an end of a part ("F1.a") or a place along a bar ("N1.3").
type End struct {
	ID    string
	Place string // "+", "-", "", "a", "b", "1", "2", …
}

// String gives the end as it is written in a job.
func (e End) String() string {
	switch e.Place {
	case "":
		return e.ID
	case "+", "-":
		return e.ID + e.Place
	}
	return e.ID + "." + e.Place
}

// IsZero reports whether no end is named.
func (e End) IsZero() bool { return e == End{} }

// IsPost reports whether the end is a post of a battery.
func (e End) IsPost() bool { return e.Place == "+" || e.Place == "-" }

// ParseEnd reads an end. It says nothing about whether the end exists.
func ParseEnd(s string) (End, error) {
	id, place := s, ""
	if n := len(s); n > 0 && (s[n-1] == '+' || s[n-1] == '-') {
		id, place = s[:n-1], s[n-1:]
	} else if i := strings.IndexByte(s, '.'); i >= 0 {
		id, place = s[:i], s[i+1:]
		if place == "" || (place != "a" && place != "b" && !isPlaceNumber(place)) {
			return End{}, fmt.Errorf("%q is not an end: after the point comes a, b or a place number, as in F1.a or N1.3", s)
		}
	}
	if err := CheckID(id); err != nil {
		return End{}, fmt.Errorf("%q is not an end: %w; ends look like B1+, B1-, S1, F1.a, N1.3", s, err)
	}
	return End{id, place}, nil
}

func isPlaceNumber(s string) bool {
	n, err := strconv.Atoi(s)
	return err == nil && n >= 1 && n <= MaxBarStuds && strconv.Itoa(n) == s
}

// MaxBarStuds is the largest number of studs on one bar. A limit of ours, far
// above any bar of this trade.
const MaxBarStuds = 64

// maxID is the longest ID in bytes: labels have to carry it.
const maxID = 24

// CheckID says what is wrong with an ID: letters, digits, "_" and inner "-",
// at most 24 characters, not "takeoff".
func CheckID(s string) error {
	switch {
	case s == "":
		return fmt.Errorf("an ID is missing")
	case len(s) > maxID:
		return fmt.Errorf("an ID has at most %d characters", maxID)
	case s == "takeoff":
		return fmt.Errorf("the name takeoff is reserved")
	case s[0] == '-' || s[len(s)-1] == '-':
		return fmt.Errorf("an ID neither begins nor ends with -")
	}
	for _, r := range s {
		letter := r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z'
		if !letter && (r < '0' || r > '9') && r != '_' && r != '-' {
			return fmt.Errorf("an ID has letters, digits, _ and inner - only, not %q", r)
		}
	}
	return nil
}

func itoa(i int) string { return strconv.Itoa(i) }

// Battery gives the battery of that ID, nil if there is none.
func (b *Bank) Battery(id string) *Battery {
	for i := range b.Batteries {
		if b.Batteries[i].ID == id {
			return &b.Batteries[i]
		}
	}
	return nil
}

// Part gives the part of that ID, nil if there is none.
func (b *Bank) Part(id string) *Part {
	for i := range b.Parts {
		if b.Parts[i].ID == id {
			return &b.Parts[i]
		}
	}
	return nil
}

// Ends lists every end of the bank: posts in the order of the batteries, then
// the ends of the parts.
func (b *Bank) Ends() []End {
	ends := make([]End, 0, 2*len(b.Batteries)+len(b.Parts))
	for i := range b.Batteries {
		ends = append(ends, b.Batteries[i].Plus(), b.Batteries[i].Minus())
	}
	for i := range b.Parts {
		ends = append(ends, b.Parts[i].own()...)
	}
	return ends
}

// own is the ends that no other part or battery has.
func (p *Part) own() []End {
	if p.On != (End{}) {
		return p.Ends()[1:]
	}
	return p.Ends()
}

// Locate gives where an end is; ok is false where the job does not say.
func (b *Bank) Locate(e End) (Point, bool) {
	if bat := b.Battery(e.ID); bat != nil {
		return bat.Post(e.Place == "+")
	}
	if p := b.Part(e.ID); p != nil {
		for i, have := range p.Ends() {
			if have == e && e != p.On {
				return p.EndPoint(i)
			}
		}
	}
	return Point{}, false
}
