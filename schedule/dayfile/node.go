package dayfile

import (
	"encoding/json"
	"strings"
)

// node is a JSON value and where it begins.
type node struct {
	at     int
	kind   kind
	text   string  // of a string, its value; of a number, its digits
	fields []field // of an object, in the order of the file, doubles kept
	items  []node  // of an array
}

type field struct {
	name  string
	at    int
	value node
}

// kind is what a JSON value is, in words for a person.
type kind string

const (
	object  kind = "a group { }"
	array   kind = "a list [ ]"
	text    kind = "text"
	number  kind = "a number"
	boolean kind = "true or false"
	null    kind = "null"
)

// field finds a field by name.
func (n *node) field(name string) (*node, bool) {
	for i := range n.fields {
		if n.fields[i].name == name {
			return &n.fields[i].value, true
		}
	}
	return nil, false
}

// parser builds nodes from input that is known to be valid JSON.
type parser struct {
	data    []byte
	at      int
	depth   int
	tooDeep int // where nesting first passed deepest, -1 for nowhere
}

func parse(data []byte) (root node, tooDeep int) {
	p := parser{data: data, tooDeep: -1}
	return p.value(), p.tooDeep
}

// peek passes over space and gives the next byte, at the end a bracket.
func (p *parser) peek() byte {
	for ; p.at < len(p.data); p.at++ {
		if c := p.data[p.at]; strings.IndexByte(" \t\r\n,:", c) < 0 {
			return c
		}
	}
	return '}'
}

func (p *parser) value() node {
	first := p.peek()
	n := node{at: p.at}
	switch first {
	case '{', '[':
		p.inner(&n, first)
	case '"':
		n.kind, n.text = text, p.str()
	case 't', 'f':
		n.kind = boolean
		p.word()
	case 'n':
		n.kind = null
		p.word()
	default:
		n.kind = number
		n.text = p.word()
	}
	return n
}

// inner reads an object or an array. What lies too deep is left out.
func (p *parser) inner(n *node, first byte) {
	p.depth++
	defer func() { p.depth-- }()
	if p.depth > deepest && p.tooDeep < 0 {
		p.tooDeep = p.at
	}
	if p.tooDeep >= 0 {
		p.at = len(p.data) // nothing more is judged
		return
	}
	p.at++
	if n.kind = array; first == '{' {
		n.kind = object
	}
	for c := p.peek(); p.tooDeep < 0 && c != '}' && c != ']'; c = p.peek() {
		if n.kind == array {
			n.items = append(n.items, p.value())
			continue
		}
		f := field{at: p.at}
		f.name = p.str()
		f.value = p.value()
		n.fields = append(n.fields, f)
	}
	p.at++
}

// str reads a string.
func (p *parser) str() string {
	start := p.at
	for p.at++; p.data[p.at] != '"'; p.at++ {
		if p.data[p.at] == '\\' {
			p.at++
		}
	}
	p.at++
	var s string
	_ = json.Unmarshal(p.data[start:p.at], &s) // the whole file was valid
	return s
}

// word reads a number, true, false or null.
func (p *parser) word() string {
	start := p.at
	for p.at < len(p.data) && strings.IndexByte(" \t\r\n,:]}", p.data[p.at]) < 0 {
		p.at++
	}
	return string(p.data[start:p.at])
}
