package screen

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/drawing"
	"isthmus/app/text"
)

// A view is one screen, built new for every drawing and every touch.
type view struct {
	title string
	aside string
	bad   bool   // the aside is bad news
	back  string // address of the screen above
	room  string // sizes, cases, shelf: which of the three is lit
	mark  string // what must be seen wherever this is seen: whose it is not
	ready bool   // an answer is on the screen
	rows  map[string]*row
	acts  map[string]func(arg string)
	body  []app.UI
}

func newView(room, title, back string) *view {
	return &view{room: room, title: title, back: back, rows: map[string]*row{}, acts: map[string]func(string){}}
}

// on registers an action of this screen and returns its name.
func (v *view) on(name string, fn func(arg string)) string {
	v.acts[name] = fn
	return name
}

func (v *view) add(ui ...app.UI) { v.body = append(v.body, ui...) }

// view builds the screen the address asks for.
func (p *Page) view() *view {
	at := strings.Split(strings.Trim(p.path, "/"), "/")
	switch at[0] {
	case "", "sizes":
		return p.sizesRoom(at)
	case "cases":
		return p.casesScreen()
	case "case":
		return p.caseRoom(at)
	case "practice":
		return p.practiceScreen()
	case "shelf":
		return p.shelfRoom(at)
	case "about":
		return p.aboutScreen()
	case "methods":
		return p.methodsScreen()
	}
	v := newView("", "Not here", "/sizes")
	v.add(app.P().Class("note").Text("There is no such screen: " + p.path + ". Choose Sizes, Cases or Shelf below."))
	return v
}

// arrive loads what the address needs and is not there yet.
func (p *Page) arrive() {
	if !p.ready {
		return
	}
	at := strings.Split(strings.Trim(p.path, "/"), "/")
	if at[0] == "case" && len(at) > 1 {
		p.needCase(at[1])
	}
}

// Render draws the view.
func (p *Page) Render() app.UI {
	v := p.safeView()
	main := app.Main().Class("body").Body(v.body...)
	if v.ready {
		main = main.DataSet("ready", "yes")
	}
	return app.Div().Class("page").OnClick(p.onTap).Body(
		p.top(v),
		main,
		p.bottom(),
		p.rooms(v),
		p.padUI(v),
	)
}

// safeView builds the view; a panic while building ends in a sentence.
func (p *Page) safeView() (v *view) {
	defer func() {
		if r := recover(); r != nil {
			v = newView("", "This screen failed", "/sizes")
			v.add(app.P().Class("stop").Text(broken(r)))
		}
	}()
	return p.view()
}

func (p *Page) top(v *view) app.UI {
	aside := app.Span().Class("aside").Text(v.aside)
	if v.bad {
		aside = app.Span().Class("aside bad").Text(v.aside)
	}
	var back app.UI = app.Span()
	if v.back != "" {
		back = app.A().Class("back").Href(v.back).Aria("label", "Back").Body(icon("back"))
	}
	if v.mark != "" {
		return app.Header().Class("top marked").Body(back, app.H1().Text(v.title), aside, app.P().Class("mark").Text(v.mark))
	}
	return app.Header().Class("top").Body(back, app.H1().Text(v.title), aside)
}

func (p *Page) rooms(v *view) app.UI {
	link := func(room, label string) app.UI {
		a := app.A().Href("/"+room).Body(icon(room), app.Span().Text(label))
		if v.room == room {
			return a.Class("on").Aria("current", "page")
		}
		return a
	}
	return app.Nav().Class("rooms").Aria("label", "Rooms").Body(
		link("sizes", "Sizes"), link("cases", "Cases"), link("shelf", "Shelf"))
}

// bottom is the place for work in progress, a sentence, or a new version.
func (p *Page) bottom() app.UI {
	switch {
	case p.busy != nil:
		bar := app.Progress().Aria("label", p.busy.what).Max(100)
		if p.busy.done >= 0 {
			bar = bar.Value(int(p.busy.done * 100))
		}
		return app.Div().Class("says").Aria("live", "polite").Body(
			app.Span().Body(app.Text(p.busy.what+" "), bar), button("Stop", "stop"))
	case p.says != nil:
		kids := []app.UI{app.Span().Text(p.says.text)}
		if p.says.do != "" {
			kids = append(kids, button(p.says.label, p.says.do))
		}
		kids = append(kids, button("Close", "hush"))
		return app.Div().Class("says").Role("status").Body(kids...)
	case p.newer:
		return app.Div().Class("says").Role("status").Body(
			app.Span().Text("A new version is ready. What you see stays until you take it."), button("Take it", "activate"))
	case p.startup != "":
		return app.Div().Class("says").Role("alert").Body(app.Span().Text(p.startup))
	}
	return app.Div()
}

// calc lays out a calculator: the answer, what must be entered, the drawing,
// and the rest; two columns where there is room.
func calc(ask, keys, pic, rest []app.UI) app.UI {
	part := func(class string, kids []app.UI) app.UI { return app.Div().Class(class).Body(kids...) }
	return app.Div().Class("calc").Body(part("c-ask", ask), part("c-keys", keys), part("c-pic", pic), part("c-rest", rest))
}

// askUI is the box of an answer, with what is said beside and below it.
func askUI(key string, box app.UI, title string, beside string, below []string) app.UI {
	say := []app.UI{app.B().Text(title)}
	if beside != "" {
		say = append(say, app.Span().Text(beside))
	}
	kids := []app.UI{box, app.Div().Class("say").Body(say...)}
	if len(below) > 0 {
		var lines []app.UI
		for _, s := range below {
			lines = append(lines, app.Div().Text(s))
		}
		kids = append(kids, app.Div().Class("more").Body(lines...))
	}
	return app.Div().Class("ask").DataSet("answer", key).Body(kids...)
}

// invented says beside an answer that its sizes are those of the teaching set.
// Nothing is said of a shelf that a hospital entered.
func (p *Page) invented() app.UI {
	s := p.s.Shelf()
	if !s.Teaching {
		return app.Div()
	}
	return app.A().Class("care shelfnote").Href("/shelf").DataSet("teaching", "yes").Body(
		app.B().Text("Invented teaching set"), app.Text("These sizes and stocks are of no hospital. Enter your own shelf before you ask for a part."))
}

func first(lines []string) (string, []string) {
	if len(lines) == 0 {
		return "", nil
	}
	return lines[0], lines[1:]
}

func button(label, do string) app.UI {
	return app.Button().Type("button").DataSet("do", do).Text(label)
}

func act(class, label, do string) app.UI {
	return app.Button().Type("button").Class("act "+class).DataSet("do", do).Text(label)
}

// filePick is a button over a file input without an accept attribute: some
// systems grey out film files that they do not know.
func (p *Page) filePick(label, do string, camera bool) app.UI {
	in := app.Input().Type("file").DataSet("file", do).Aria("label", label).OnChange(p.onFile)
	if camera {
		in = in.Accept("image/*").Attr("capture", "environment")
	}
	return app.Label().Class("act pick").Body(app.Text(label), in)
}

func icon(name string) app.UI {
	return app.Span().Class("icon").Aria("hidden", "true").Body(app.Raw(drawing.Icon(name)))
}

// svg shows a drawing, or the sentence that says why there is none.
func svg(picture string, err error) app.UI {
	if err != nil {
		return app.P().Class("gloss").Text(text.Error(err))
	}
	return app.Div().Class("draw").Body(app.Raw(picture))
}
