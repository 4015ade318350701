package screen

import "testing"

// What a screen said does not stand over the next one, whatever its button
// would do; a deleted case can be had back where it was deleted.
func TestWhatIsSaidStaysOnItsScreen(t *testing.T) {
	p := &Page{path: "/case/1/films"}
	go1 := func(to string) { before := p.path; p.path = to; p.leave(before) }
	for _, do := range []string{"", "undo", "shelf-undo", "unwipe"} {
		p.tell("Something was done.", "Undo", do)
		if go1("/case/1"); p.says != nil {
			t.Errorf("%q is still said on another screen", do)
		}
		if go1("/case/1/films"); p.says != nil {
			t.Errorf("%q is said again after coming back: it would undo something else", do)
		}
	}
	p.path = "/cases"
	p.tell("The case is deleted.", "Undo", "case-undelete")
	if go1("/shelf"); p.says != nil {
		t.Error("a deleted case is said on another screen")
	}
	if go1("/cases"); p.says == nil || p.says.do != "case-undelete" {
		t.Error("back among the cases the deleted one cannot be had back")
	}
}
