package text

import (
	"testing"

	"isthmus/core/source"
)

func TestMethodsHaveWords(t *testing.T) {
	for _, p := range source.Parts() {
		if MethodPart(p) == string(p) {
			t.Errorf("part %s has no name", p)
		}
	}
	means := map[string]string{}
	for _, w := range SeenWords() {
		means[w.Word] = w.Means
	}
	for _, s := range source.All() {
		if means[string(s.Seen)] == "" {
			t.Errorf("%s is %q, a word that is not explained", s.Key, s.Seen)
		}
	}
}
