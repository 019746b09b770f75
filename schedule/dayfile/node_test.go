package dayfile

import (
	"bytes"
	"encoding/json"
	"reflect"
	"testing"
)

// plain turns a node into what encoding/json makes of the same input.
func plain(n *node, data []byte) any {
	switch n.kind {
	case object:
		m := map[string]any{}
		for i := range n.fields {
			m[n.fields[i].name] = plain(&n.fields[i].value, data)
		}
		return m
	case array:
		list := []any{}
		for i := range n.items {
			list = append(list, plain(&n.items[i], data))
		}
		return list
	case text:
		return n.text
	case number:
		return json.Number(n.text)
	case boolean:
		return data[n.at] == 't'
	}
	return nil
}

// The tree must be the one encoding/json reads.
func FuzzParse(f *testing.F) {
	for _, s := range []string{
		`{"a": [1, -2.5e3, "x\"y\\", null, true,false], "b":{}, "": [ ] }`,
		"[[],[[null]]]", `"\ud83d\ude00\u00e9"`, " 0 ", `{"a":1,"a":2}`,
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		var want any
		d := json.NewDecoder(bytes.NewReader(data))
		d.UseNumber()
		if !json.Valid(data) || d.Decode(&want) != nil {
			return
		}
		root, tooDeep := parse(data)
		if tooDeep >= 0 {
			return
		}
		if got := plain(&root, data); !reflect.DeepEqual(got, want) {
			t.Errorf("got %v, want %v", got, want)
		}
	})
}
