package screen

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/text"
	"isthmus/core/implant"
)

// A line is one part on the shelf, whatever its kind: what it is, how many
// there are, and how to change or take it out.
type line struct {
	id    string
	name  string
	more  string
	stock *int
	drop  func(*implant.Shelf)
}

// rows are what a new part needs; a nail also needs the nail that it is like.
func (b bay) rows(s implant.Shelf) []*row {
	if b.key != "nails" {
		return b.form
	}
	like := &row{kind: choiceRow, long: true, key: "like", label: "Holes, bow, angle and drive as of"}
	seen := map[string]bool{}
	for _, n := range s.Nails {
		what := text.NailPart(n)
		if !seen[what] {
			seen[what] = true
			like.opts = append(like.opts, option{n.ID, what})
		}
	}
	return append([]*row{like}, b.form...)
}

// A bay is one kind of part.
type bay struct {
	key, title string
	lines      func(*implant.Shelf) []line
	form       []*row // what a new part needs
	make       func(p *Page, s *implant.Shelf, d map[string]string) error
	may        string // keys of the form that may stay empty
}

func (p *Page) shelfRoom(at []string) *view {
	if len(at) > 1 {
		for _, b := range bays() {
			if b.key == at[1] {
				return p.bayScreen(b)
			}
		}
	}
	return p.shelfScreen()
}

// shelfScreen is the whole shelf in one list, with its files.
func (p *Page) shelfScreen() *view {
	v := newView("shelf", "Shelf", "")
	s := p.s.Shelf()
	v.aside = s.Name
	if s.Teaching {
		v.add(app.Div().Class("care").Body(app.B().Text("This is an invented teaching set"), app.Text("Its sizes belong to no maker. Before you plan for a patient, enter or import what your hospital really owns.")))
	}
	for _, f := range implant.Check(s) {
		v.add(app.P().Class("care").Text(f.Error()))
	}
	var items []app.UI
	for _, b := range bays() {
		ls := b.lines(&s)
		pieces := 0
		for _, l := range ls {
			pieces += *l.stock
		}
		items = append(items, app.Li().Body(app.A().Href("/shelf/"+b.key).Body(
			app.B().Text(b.title), app.Small().Text(fmt.Sprintf("%d sizes, %d pieces", len(ls), pieces)))))
	}
	v.add(app.Ul().Class("list").Body(items...))
	v.on("shelf-csv", func(string) { p.shelfFile("shelf.csv", "text/csv", implant.WriteCSV) })
	v.on("shelf-json", func(string) { p.shelfFile("shelf.json", "application/json", implant.WriteJSON) })
	v.on("shelf-teach", func(string) { p.setShelf(implant.Teaching(), "The teaching set is on the shelf.") })
	v.on("shelf-undo", func(string) { p.shelfUndo() })
	v.add(v.row(p, &row{kind: textRow, key: "shelf-name", label: "Name of this shelf",
		get: func() string { return s.Name },
		set: func(t string) error {
			n := p.s.Shelf()
			n.Name, n.Teaching = t, false
			return p.putShelf(n)
		}}))
	v.add(app.Div().Class("acts").Body(
		p.filePick("Import CSV or JSON", "shelf-file", false),
		act("", "Export CSV", "shelf-csv"), act("", "Export JSON", "shelf-json"),
		act("", "Put back the teaching set", "shelf-teach")))
	v.ready = true
	return v
}

// bayScreen is one kind of part: stock counts, taking out, adding.
func (p *Page) bayScreen(b bay) *view {
	v := newView("shelf", b.title, "/shelf")
	s := p.s.Shelf()
	v.on("stock", func(arg string) { p.stock(b, arg) })
	v.on("drop", func(id string) { p.drop(b, id) })
	v.on("shelf-undo", func(string) { p.shelfUndo() })
	v.on("bay-add", func(string) { p.addPart(b) })
	var rows []app.UI
	for _, l := range b.lines(&s) {
		rows = append(rows, app.Tr().Body(
			app.Td().Body(app.B().Text(l.name), app.Div().Class("gloss").Text(l.more)),
			app.Td().Class("n").Body(
				app.Button().Type("button").Aria("label", "One fewer of "+l.name).DataSet("do", "stock|"+l.id+"|-").Text("−"),
				app.B().Text(strconv.Itoa(*l.stock)),
				app.Button().Type("button").Aria("label", "One more of "+l.name).DataSet("do", "stock|"+l.id+"|+").Text("+")),
			app.Td().Body(app.Button().Type("button").Aria("label", "Take out "+l.name).DataSet("do", "drop|"+l.id).Body(icon("trash")))))
	}
	v.add(app.Table().Body(app.THead().Body(app.Tr().Body(app.Th().Text("Part"), app.Th().Class("n").Text("in stock"), app.Th().Text("take out"))), app.TBody().Body(rows...)))
	v.add(app.H2().Class("gloss").Text("Add a size"))
	for _, r := range b.rows(s) {
		v.add(v.row(p, p.drafted("bay-"+b.key+"-", r)))
	}
	v.add(app.Div().Class("acts").Body(act("main", "Add it", "bay-add")))
	v.ready = true
	return v
}

func (p *Page) addPart(b bay) {
	d := map[string]string{}
	for _, r := range b.rows(p.s.Shelf()) {
		key := "bay-" + b.key + "-" + r.key
		d[r.key] = p.draft(key)
		if w := p.wrong[p.slot(key)]; w != "" {
			p.tell("Nothing was added. “"+r.label+"”: "+w, "", "")
			return
		}
		if d[r.key] == "" && !slices.Contains(strings.Fields(b.may), r.key) {
			p.tell("Nothing was added: “"+r.label+"” is empty.", "", "")
			return
		}
	}
	s := cloneShelf(p.s.Shelf())
	if err := b.make(p, &s, d); err != nil {
		p.tell("Nothing was added: "+text.Error(err), "", "")
		return
	}
	if err := p.putShelf(s); err != nil {
		p.tell("Nothing was added: "+text.Error(err), "", "")
		return
	}
	p.tell("Added to the shelf.", "Undo", "shelf-undo")
}

func (p *Page) stock(b bay, arg string) {
	id, dir, _ := strings.Cut(arg, "|")
	s := cloneShelf(p.s.Shelf())
	for _, l := range b.lines(&s) {
		if l.id != id {
			continue
		}
		if dir == "+" {
			*l.stock++
		} else if *l.stock > 0 {
			*l.stock--
		}
	}
	if err := p.putShelf(s); err != nil {
		p.tell(text.Error(err), "", "")
	}
}

func (p *Page) drop(b bay, id string) {
	s := cloneShelf(p.s.Shelf())
	for _, l := range b.lines(&s) {
		if l.id == id {
			l.drop(&s)
			break
		}
	}
	if err := p.putShelf(s); err != nil {
		p.tell(text.Error(err), "", "")
		return
	}
	p.tell("Taken off the shelf.", "Undo", "shelf-undo")
}

// putShelf checks and stores a shelf; the one before it can be put back.
func (p *Page) putShelf(s implant.Shelf) error {
	if faults := implant.Check(s); len(faults) > 0 {
		return &faults[0]
	}
	before := p.s.Shelf()
	p.shelfBefore = &before
	p.background(func(c context.Context) {
		if err := p.s.SetShelf(c, s); err != nil {
			p.later(func() { p.tell(text.Error(err), "", "") })
		}
	})
	return nil
}

func (p *Page) setShelf(s implant.Shelf, said string) {
	if err := p.putShelf(s); err != nil {
		p.tell(text.Error(err), "", "")
		return
	}
	p.tell(said, "Undo", "shelf-undo")
}

func (p *Page) shelfUndo() {
	if p.shelfBefore != nil {
		p.setShelf(*p.shelfBefore, "The shelf is as it was.")
	}
}

func (p *Page) shelfFile(name, mime string, write func(implant.Shelf) []byte) {
	data := write(p.s.Shelf())
	p.background(func(c context.Context) {
		if err := p.s.Save(c, name, mime, data); err != nil {
			p.later(func() { p.tell(text.Error(err), "", "") })
		}
	})
}

// importShelf reads a shelf file; a fault leaves the shelf as it is.
func (p *Page) importShelf(name string, data []byte) {
	read := implant.ParseCSV
	if strings.HasPrefix(strings.TrimSpace(string(data[:min(len(data), 64)])), "{") {
		read = implant.ParseJSON
	}
	s, err := read(data)
	if err != nil {
		p.tell("The shelf is unchanged. "+text.Error(err), "", "")
		return
	}
	if s.Name == "" {
		s.Name = name
	}
	p.setShelf(s, "The shelf is read from the file.")
}

func cloneShelf(s implant.Shelf) implant.Shelf {
	s.Nails, s.Head, s.Locking = slices.Clone(s.Nails), slices.Clone(s.Head), slices.Clone(s.Locking)
	s.Caps, s.Reamers, s.Rods = slices.Clone(s.Caps), slices.Clone(s.Reamers), slices.Clone(s.Rods)
	s.Tools = slices.Clone(s.Tools)
	return s
}
