package view

import "strings"

// Words is the reader's choice where teachers and regions differ. The zero
// value says prove, knock back and tin.
type Words struct {
	Proof bool // proof, not prove
	Punch bool // punch, not knock back
	Pan   bool // pan, not tin
}

// ParseWords reads what String wrote; unknown words are passed over.
func ParseWords(s string) Words {
	var w Words
	for _, f := range strings.Fields(s) {
		w.Proof = w.Proof || f == "proof"
		w.Punch = w.Punch || f == "punch"
		w.Pan = w.Pan || f == "pan"
	}
	return w
}

// String writes the choices for keeping.
func (w Words) String() string {
	return strings.Join([]string{w.Prove(), w.Knock(), w.Tin()}, " ")
}

// Prove is the verb of the final rise.
func (w Words) Prove() string { return pick(w.Proof, "proof", "prove") }

// Knock is the verb for pressing the gas out.
func (w Words) Knock() string { return pick(w.Punch, "punch", "knock back") }

// Tin is what a loaf is baked in.
func (w Words) Tin() string { return pick(w.Pan, "pan", "tin") }

func pick(b bool, yes, no string) string {
	if b {
		return yes
	}
	return no
}
