package screen

import (
	"context"
	"fmt"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/state"
	"isthmus/app/text"
)

// casesScreen lists the cases; new, import, delete with undo.
func (p *Page) casesScreen() *view {
	v := newView("cases", "Cases", "")
	v.aside = "on this device only"
	if !p.ready {
		v.add(app.P().Class("note").Text("Opening what is stored on this device …"))
		return v
	}
	v.on("case-new", func(string) { p.newCase() })
	v.on("case-delete", func(id string) { p.deleteCase(id) })
	v.on("case-undelete", func(string) { p.undelete() })
	v.add(app.Div().Class("acts").Body(
		act("main", "New case", "case-new"),
		p.filePick("Open a case file", "case-file", false)),
		app.A().Class("practicelink").Href("/practice").Text("Practice on drawn films"))
	briefs := p.s.Briefs()
	if len(briefs) == 0 {
		v.add(app.P().Class("note").Text("No case is stored here yet. Start one, or open a case file that a colleague sent. Everything stays on this device until you export it."))
	}
	var items []app.UI
	for _, b := range briefs {
		items = append(items, caseItem(b))
	}
	v.add(app.Ul().Class("list").Body(items...))
	st := p.s.Status()
	if st.Works != nil {
		v.add(app.P().Class("stop").Role("alert").Text(text.Error(st.Works)))
	}
	if st.Asked {
		promise := "This browser was asked to keep what is stored here and did not promise it."
		if st.Granted {
			promise = "This browser promised to keep what is stored here."
		}
		v.add(app.P().Class("gloss").Text(promise))
	}
	if len(briefs) > 0 {
		v.add(app.P().Class("gloss").Text("A browser may clear what it stores. The exported file is the record: export a case when it matters."))
	}
	return v
}

func caseItem(b state.Brief) app.UI {
	backup := "not exported yet"
	if b.Backup != "" {
		backup = "exported " + text.When(b.Backup)
	}
	line := b.Line
	if line == "" {
		line = "nothing entered yet"
	}
	kids := []app.UI{app.B().Text(strings.TrimSpace(b.Label + " " + b.Side))}
	if b.Practice != "" {
		kids = append(kids, app.Small().Class("mark").Text(text.PracticeMark))
		line = strings.TrimPrefix(strings.TrimPrefix(line, text.PracticeMark), " · ")
	}
	if line != "" {
		kids = append(kids, app.Small().Text(line))
	}
	return app.Li().Body(
		app.A().Href("/case/"+b.ID).Body(append(kids, app.Small().Text("edited "+text.When(b.Edited)+" · "+backup))...),
		app.Button().Type("button").Class("side").Aria("label", "Delete "+b.Label).DataSet("do", "case-delete|"+b.ID).Body(icon("trash")))
}

func (p *Page) newCase() {
	label := fmt.Sprintf("Case %d", len(p.s.Briefs())+1)
	p.work("Making the case", func(c context.Context) {
		id, err := p.s.NewCase(c, label)
		p.later(func() {
			p.busy = nil
			if err != nil {
				p.tell(text.Error(err), "", "")
				return
			}
			p.to("/case/" + id)
		})
	})
}

func (p *Page) deleteCase(id string) {
	p.background(func(c context.Context) {
		err := p.s.DeleteCase(c, id)
		p.later(func() {
			if err != nil {
				p.tell(text.Error(err), "", "")
				return
			}
			p.tell("The case is deleted.", "Undo", "case-undelete")
		})
	})
}

func (p *Page) undelete() {
	p.background(func(c context.Context) {
		err := p.s.UndoDelete(c)
		p.later(func() {
			p.says = nil
			if err != nil {
				p.tell(text.Error(err), "", "")
			}
		})
	})
}

// took receives a chosen file, under the name of the picker.
func (p *Page) took(do, name string, data []byte) {
	switch do {
	case "case-file":
		p.importCase(data)
	case "film-file":
		p.addFilm(data)
	case "shelf-file":
		p.importShelf(name, data)
	}
}

// Dropped takes a file that was dropped on the page: a case file is opened
// wherever one is, a shelf file on the Shelf, anything else is a film of the
// open case.
func (p *Page) Dropped(chosen any) {
	p.later(func() {
		p.work("Reading the file", func(c context.Context) {
			name, data, err := p.world.Read(c, chosen)
			p.later(func() {
				p.busy = nil
				if err != nil {
					p.tell(text.Error(err), "", "")
					return
				}
				p.took(p.dropKind(data), name, data)
			})
		})
	})
}

func (p *Page) dropKind(data []byte) string {
	if strings.HasPrefix(string(data[:min(len(data), 16)]), "isthmus-file") {
		return "case-file"
	}
	if strings.HasPrefix(p.path, "/shelf") {
		return "shelf-file"
	}
	if _, open := p.s.Case(); open && strings.HasPrefix(p.path, "/case/") {
		return "film-file"
	}
	return "case-file" // and the reader says what it is not
}

func (p *Page) importCase(data []byte) {
	p.work("Checking the case file", func(c context.Context) {
		id, note, err := p.s.Import(c, data)
		p.later(func() {
			p.busy = nil
			if err != nil {
				p.tell(text.Error(err)+" Nothing here was changed.", "", "")
				return
			}
			p.to("/case/" + id)
			if note != "" {
				p.tell(note, "", "")
			}
		})
	})
}

// needCase opens the case the address names, if another one is open.
func (p *Page) needCase(id string) {
	if c, ok := p.s.Case(); ok && c.ID == id {
		return
	}
	p.background(func(c context.Context) {
		err := p.s.OpenCase(c, id)
		p.later(func() {
			if err != nil {
				p.tell(text.Error(err), "", "")
			}
		})
	})
}

func (p *Page) addFilm(data []byte) {
	p.work("Opening the film", func(c context.Context) {
		at, o, err := p.s.AddFilm(c, data, func(done float64) {
			p.later(func() {
				if p.busy != nil {
					p.busy.done = done
				}
			})
		})
		closePicture(o.Bitmap) // its screen asks for its own
		p.later(func() {
			p.busy = nil
			if err != nil {
				p.tell(text.Error(err), "", "")
				return
			}
			if cs, ok := p.s.Case(); ok {
				p.to(fmt.Sprintf("/case/%s/film/%d", cs.ID, at))
			}
		})
	})
}

func (p *Page) export(withFilms bool) {
	p.work("Making the case file", func(c context.Context) {
		name, data, err := p.s.Export(c, withFilms)
		if err == nil {
			err = p.s.Save(c, name, "application/octet-stream", data)
		}
		p.later(func() {
			p.busy = nil
			if err != nil {
				p.tell(text.Error(err), "", "")
				return
			}
			p.tell("The case file is handed over: "+name, "", "")
		})
	})
}
