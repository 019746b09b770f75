package view

import (
	"fmt"

	"ovenward/store/bundle"
)

// ArrivalLine is what would become of the things of one kind.
type ArrivalLine struct {
	Kind   string
	Groups []ArrivalGroup
}

// ArrivalGroup is things to which the same would happen.
type ArrivalGroup struct{ What, Names string }

// Arrivals words a preview, kinds of which there is nothing left out.
func Arrivals(p bundle.Preview) []ArrivalLine {
	var out []ArrivalLine
	for _, k := range []struct {
		kind string
		bundle.Change
	}{{"Kitchen", p.Kitchen}, {"Base doughs", p.Bases}, {"Breads", p.Breads}, {"Days", p.Days}, {"Settings", p.Settings}, {"Learned", p.Learned}, {"Standing orders", p.Standing}, {"Ingredients", p.Foods}, {readingsKind, p.Readings}} {
		line := ArrivalLine{Kind: k.kind}
		for _, g := range []struct {
			what  string
			items []bundle.Item
		}{{"New", k.Added}, {"Replaced", k.Replaced}, {"The same", k.Same}, {"Only here", k.Here}} {
			if len(g.items) > 0 {
				line.Groups = append(line.Groups, ArrivalGroup{g.what, itemNames(k.kind, g.items)})
			}
		}
		if len(line.Groups) > 0 {
			out = append(out, line)
		}
	}
	return out
}

// readingsKind is the heading of temperatures that were read in places.
const readingsKind = "Temperatures read"

// mostNames is how many names are worth reading.
const mostNames = 12

func itemNames(kind string, items []bundle.Item) string {
	var names []string
	for _, it := range items[:min(len(items), mostNames)] {
		switch name := orElse(it.Name, it.Key); {
		case kind == "Kitchen":
			names = append(names, "the kitchen")
		case kind == "Days" || kind == "Learned" || kind == readingsKind:
			names = append(names, it.Key+" "+it.Name)
		default:
			names = append(names, name)
		}
	}
	if more := len(items) - len(names); more > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	}
	return list(names)
}

// FileFault says what is wrong with a file, and where.
func FileFault(line, column int, path, what, remedy string) string {
	at := fmt.Sprintf("Line %d, column %d", line, column)
	if path != "" {
		at += ", " + path
	}
	return Sentence(at + ": " + what + "; " + remedy)
}

// Imported says what an import did.
func Imported(replaced bool) string {
	if replaced {
		return "The file is taken in; what was only here is gone."
	}
	return "The file is taken in beside what was here."
}

// BackupAt says where to find what was before.
func BackupAt(path string) string { return "Everything as it was before is in " + path + "." }

func first(all []string, n int) []string { return all[:min(len(all), n)] }
