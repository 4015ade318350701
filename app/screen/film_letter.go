package screen

import (
	"strings"

	"github.com/maxence-charriere/go-app/v9/pkg/app"

	"isthmus/core/anatomy"
	"isthmus/core/record"
)

// letterUI asks which side letter is seen on the film itself, and how it
// reads. Nothing is taken from the header.
func (fp *filmPage) letterUI(f record.Film) []app.UI {
	kids := []app.UI{fpChoice("Which side letter is on the film?", "letter", string(f.Letter),
		[]option{{string(record.LetterLeft), "L"}, {string(record.LetterRight), "R"}, {string(record.LetterNone), "None"}})}
	if f.Letter == record.LetterLeft || f.Letter == record.LetterRight {
		kids = append(kids, fpChoice("Does it read the right way round, as the film is stored?", "letter-reads", string(f.LetterReads),
			[]option{{string(record.Yes), "Yes"}, {string(record.No), "Mirrored"}, {string(record.Unsure), "Unsure"}}))
	}
	if t := f.Tags; t != nil && t.Laterality != "" {
		kids = append(kids, app.P().Class("gloss").Text("The file says side “"+t.Laterality+"”. It takes no part in this: look for the letter on the film."))
	}
	return kids
}

// letterActs say which side letter is seen; the same answer again takes it
// back.
func (fp *filmPage) letterActs() map[string]func(string) {
	n := fp.Index
	return map[string]func(string){
		"letter": func(arg string) {
			fp.do("letter on the film", onFilm(n, func(f *record.Film) error {
				if f.Letter == record.Letter(arg) {
					arg = ""
				}
				if f.Letter = record.Letter(arg); f.Letter != record.LetterLeft && f.Letter != record.LetterRight {
					f.LetterReads = record.NotAsked
				}
				return nil
			}))
		},
		"letter-reads": func(arg string) {
			fp.do("how the letter reads", onFilm(n, func(f *record.Film) error {
				if f.LetterReads == record.Answer(arg) {
					arg = ""
				}
				f.LetterReads = record.Answer(arg)
				return nil
			}))
		},
	}
}

// letterShouts are what the letter says against the case, or against the way
// the film is shown: a film that is turned over is shown as it was taken when
// the view is mirrored.
func (fp *filmPage) letterShouts(f record.Film) []app.UI {
	shout := func(words string) app.UI { return app.Div().Class("shout").Role("alert").Text(words) }
	var out []app.UI
	want := fp.c.Side
	if f.Bone == anatomy.Sound {
		want = want.Other()
	}
	said := f.Letter == record.LetterLeft || f.Letter == record.LetterRight
	if said && want.Valid() && f.Bone.Valid() && string(f.Letter) != string(want) {
		out = append(out, shout("WRONG SIDE? The letter says "+string(f.Letter)+", this is the "+strings.ToLower(string(want))+" femur"))
	}
	if f.LetterReads == record.No && !fp.view.Mirrored() {
		out = append(out, shout("FLIPPED FILM: its letter reads the wrong way round"))
	}
	return out
}
