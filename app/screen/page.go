// Package screen is what a person sees and touches: go-app components, one
// file per screen. It reads the session, draws, and sends edits back; it does
// no arithmetic on millimetres and has no rules of its own.
//
// A screen is a function that builds a view: its title, its rows, and its
// actions by name. A tap finds the name in data-do, builds the view again and
// calls the action, so that no handler ever holds an old value.
package screen

import (
	"context"
	"fmt"
	"net/url"
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/app/state"
	"isthmus/app/text"
	"isthmus/core/implant"
)

// A Page is the root component. It stays mounted while the person moves from
// screen to screen; only the address decides what it draws.
type Page struct {
	app.Compo

	s       *state.Session
	world   Browser
	ctx     app.Context
	path    string
	query   url.Values
	ready   bool   // the session has started
	startup string // what went wrong while it started

	pad     *pad
	opened  map[string]bool   // explanations that are open
	wrong   map[string]string // field key → what is wrong with what was typed
	kept    map[string]string // field key → the refused text, kept as typed
	says    *says
	busy    *busy
	aside   *says // what is said again on the screen asideAt
	asideAt string
	newer   bool // a new version waits

	truth       *truthJob         // what is true of a practice case, when somebody asks
	tried       *trialJob         // trials of the plan, made when somebody asks
	shelfBefore *implant.Shelf    // what Undo on the shelf puts back
	wiped       map[string]string // what Undo puts back after Start afresh
}

// A Browser does what only the browser can and the session need not know.
type Browser struct {
	Read     func(ctx context.Context, chosen any) (name string, data []byte, err error)
	Activate func()            // take the waiting version over
	Look     func(look string) // "", "light", "dark"
	Version  string
}

// says is a sentence at the bottom of the screen, with one thing to do.
type says struct {
	text  string
	label string
	do    string // name of an action
}

// busy is work that goes on away from the screen.
type busy struct {
	what   string
	done   float64 // 0…1, negative when not known
	cancel context.CancelFunc
}

// New returns the root component over a session.
func New(s *state.Session, b Browser) *Page {
	return &Page{s: s, world: b, path: "/", opened: map[string]bool{}, wrong: map[string]string{}, kept: map[string]string{}}
}

// OnMount starts the session once.
func (p *Page) OnMount(ctx app.Context) {
	p.ctx = ctx
	p.setPath(ctx.Page().URL())
	p.background(func(c context.Context) {
		err := p.start(c)
		p.later(func() {
			p.ready, p.startup = true, ""
			if err != nil {
				p.startup = text.Error(err)
			}
			p.applyLook()
			p.arrive()
		})
	})
}

// starts is how often the stored things are asked for: a slow phone may be too
// busy with starting to hear the first answer in time, and what is stored must
// not be taken for lost, nor the teaching set for the hospital's shelf.
const starts = 3

// start starts the session, again when it gets no answer.
func (p *Page) start(c context.Context) (err error) {
	for range starts {
		if err = p.s.Start(c); err == nil {
			return nil
		}
		p.later(func() {
			p.startup = "What is stored here is not read yet, trying again. Do not plan with the shelf that is shown."
		})
	}
	return err
}

// OnNav follows the address.
func (p *Page) OnNav(ctx app.Context) {
	before := p.path
	p.setPath(ctx.Page().URL())
	p.pad = nil
	if before != p.path {
		app.Window().Call("scrollTo", 0, 0)
		p.leave(before)
	}
	p.arrive()
}

// leave takes what a screen said off the next one: its Undo would do nothing
// there, or undo something else. A deleted case can be had back where it was
// deleted.
func (p *Page) leave(before string) {
	if p.says != nil && p.says.do == "case-undelete" {
		p.aside, p.asideAt = p.says, before
	}
	if p.says = nil; p.aside != nil && p.path == p.asideAt {
		p.says, p.aside = p.aside, nil
	}
}

// OnAppUpdate is told that a new version waits.
func (p *Page) OnAppUpdate(app.Context) { p.newer = true }

func (p *Page) setPath(u *url.URL) {
	p.path, p.query = strings.TrimSuffix(u.Path, "/"), u.Query()
	if p.path == "" {
		p.path = "/"
	}
}

// Changed draws the page again; the session calls it when something it holds
// has changed in the background.
func (p *Page) Changed() {
	if p.ctx != nil && p.Mounted() {
		p.ctx.Dispatch(func(app.Context) {})
	}
}

// later runs fn on the screen's thread and draws again.
func (p *Page) later(fn func()) {
	if p.ctx == nil {
		fn()
		return
	}
	p.ctx.Dispatch(func(app.Context) { fn() })
}

// background runs fn away from the screen's handlers. A panic ends in a
// sentence, not in a dead page.
func (p *Page) background(fn func(ctx context.Context)) {
	go func() {
		defer func() {
			if r := recover(); r != nil {
				p.later(func() { p.busy = nil; p.tell(broken(r), "", "") })
			}
		}()
		fn(context.Background())
	}()
}

func broken(r any) string {
	return fmt.Sprintf("Something in the program failed (%v). What was saved is kept. Reload the page, and check the last thing you entered.", r)
}

// tell shows a sentence at the bottom of the screen.
func (p *Page) tell(sentence, label, do string) { p.says = &says{sentence, label, do} }

// go to another screen.
func (p *Page) to(path string) { p.ctx.Navigate(path) }

// onTap finds what was tapped and does it.
func (p *Page) onTap(ctx app.Context, e app.Event) {
	t := e.Get("target")
	if !t.Truthy() || !t.Get("closest").Truthy() {
		return
	}
	t = t.Call("closest", "[data-do]")
	if !t.Truthy() {
		return
	}
	p.Do(t.Call("getAttribute", "data-do").String())
}

// onInput takes text that is typed into a field of the screen.
func (p *Page) onInput(ctx app.Context, e app.Event) {
	src := ctx.JSSrc()
	p.Do("set|" + src.Call("getAttribute", "data-key").String() + "|" + src.Get("value").String())
}

// onFile takes the file a person chose, under the action named in data-do.
func (p *Page) onFile(ctx app.Context, e app.Event) {
	src := ctx.JSSrc()
	do := src.Call("getAttribute", "data-file").String()
	files := src.Get("files")
	if !files.Truthy() || files.Get("length").Int() == 0 {
		return
	}
	chosen := raw(files.Index(0))
	p.work("Reading the file", func(c context.Context) {
		name, data, err := p.world.Read(c, chosen)
		p.later(func() {
			src.Set("value", "")
			p.busy = nil
			if err != nil {
				p.tell(text.Error(err), "", "")
				return
			}
			p.took(do, name, data)
		})
	})
}

// work shows what is being done, with a way to stop it.
func (p *Page) work(what string, fn func(ctx context.Context)) {
	c, cancel := context.WithCancel(context.Background())
	p.busy = &busy{what: what, done: -1, cancel: cancel}
	p.says = nil
	p.background(func(context.Context) { fn(c) })
}

// Do carries out an action by its name: "name" or "name|argument". It is the
// only way a touch changes anything. A panic in an action ends in a sentence.
func (p *Page) Do(name string) {
	defer func() {
		if r := recover(); r != nil {
			p.busy, p.pad = nil, nil
			p.tell(broken(r), "", "")
		}
	}()
	v := p.view()
	verb, arg, _ := strings.Cut(name, "|")
	switch verb {
	case "set", "step", "pad", "key":
		p.doField(v, verb, arg)
	case "why":
		p.opened[arg] = !p.opened[arg]
	case "hush":
		p.says = nil
	case "stop":
		if p.busy != nil {
			p.busy.cancel()
			p.busy = nil
		}
	case "activate":
		p.background(func(c context.Context) {
			if err := p.s.Flush(c); err != nil {
				p.later(func() { p.tell(text.Error(err), "", "") })
				return
			}
			p.world.Activate()
		})
	default:
		if fn := v.acts[verb]; fn != nil {
			fn(arg)
		}
	}
}
