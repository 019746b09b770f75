package schedule

import "fmt"

// orders looks at what is promised.
func (v *inspection) orders() {
	v.want(len(v.day.Orders) > 0, "orders", "nothing is ordered", "add an order: which bread, how many, out by when")
	var breads []string
	for _, b := range v.day.Breads {
		breads = append(breads, b.ID)
	}
	for i, o := range v.day.Orders {
		where := at("orders", i)
		_, ok := v.day.Bread(o.Bread)
		v.want(ok, where+".bread", fmt.Sprintf("there is no bread %q", o.Bread), choose(breads, "add the bread first"))
		v.want(o.Pieces >= 1 && o.Pieces <= mostPieces, where+".pieces", fmt.Sprintf("%d pieces cannot be baked", o.Pieces), "give 1 to 10000")
		v.want(o.Weight >= 0 && o.Weight <= 1000, where+".weight", fmt.Sprintf("a weight of %d cannot be", o.Weight), "leave it out, or give 1 to 1000: how much a late minute matters")
		v.promise(where, o)
	}
}

func (v *inspection) promise(where string, o Order) {
	field := ".out_by"
	switch {
	case o.Out == "" && o.Ready == "":
		v.fault(where+".out_by", "no time is promised", "say when it must be out of the oven, out_by, or cooled and finished, cool_by")
		return
	case o.Out != "" && o.Ready != "":
		v.fault(where+".cool_by", "two times are promised, out of the oven and cooled", "keep the one that counts")
		return
	case o.Out == "":
		field = ".cool_by"
	}
	t, ok := v.wall(where+field, o.Promise())
	if !ok || v.now.IsZero() {
		return
	}
	v.want(!t.Before(v.now), where+field, fmt.Sprintf("%s has passed: it is %s", o.Promise(), v.day.Now), "promise a time to come")
	v.want(t.Sub(v.now) <= longest, where+field, fmt.Sprintf("%s is more than 14 days away", o.Promise()), "plan that day nearer its time")
}
