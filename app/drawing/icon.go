package drawing

import "slices"

// Icon returns a small line drawing of 24 units, drawn in the colour of the
// text around it and hidden from screen readers: words always stand beside
// it. An unknown name gives no drawing.
func Icon(name string) string {
	i := slices.IndexFunc(icons, func(k icon) bool { return k.name == name })
	if i < 0 {
		return ""
	}
	return `<svg xmlns="http://www.w3.org/2000/svg" class="d-icon" viewBox="0 0 24 24" width="24" height="24" aria-hidden="true" focusable="false">` +
		`<path fill="none" stroke="currentColor" stroke-width="1.7" stroke-linecap="round" stroke-linejoin="round" d="` + icons[i].d + `"/></svg>`
}

// IconNames returns the names Icon knows.
func IconNames() []string {
	out := make([]string, len(icons))
	for i, k := range icons {
		out[i] = k.name
	}
	return out
}

type icon struct{ name, d string }

var icons = []icon{
	// a rule with a dimension above it
	{"sizes", "M3 13H21V20H3ZM7 13V16M11 13V17M15 13V16M19 13V15M3 7H21M6 4L3 7L6 10M18 4L21 7L18 10"},
	// a sheet with lines and a ticked one
	{"cases", "M5 3H19V21H5ZM8.5 8L9.8 9.3L12 7M14 8.5H16M8.5 13H16M8.5 17H16"},
	// two boards with rods of several lengths
	{"shelf", "M3 11H21M3 21H21M6 11V4M10 11V6M14 11V3M18 11V7M7 21V15M12 21V14M17 21V16"},
	// a film with a shaft on it
	{"film", "M4 3H20V21H4ZM10 6C8.5 8 10.5 9 10.5 12C10.5 15 9.5 16 9 18M14 6C15 8 13.5 9 13.5 12C13.5 15 14.5 16 15 18"},
	{"export", "M12 15V3M8 7L12 3L16 7M4 13V21H20V13"},
	{"import", "M12 3V15M8 11L12 15L16 11M4 13V21H20V13"},
	{"undo", "M8 4L4 8L8 12M4 8H14C18 8 20 10.5 20 14C20 17.5 18 20 14 20H9"},
	{"redo", "M16 4L20 8L16 12M20 8H10C6 8 4 10.5 4 14C4 17.5 6 20 10 20H15"},
	{"trash", "M4 7H20M9 7V4H15V7M6 7L7 21H17L18 7M10 11V17M14 11V17"},
	{"plus", "M12 4V20M4 12H20"},
	{"minus", "M4 12H20"},
	{"back", "M14 5L7 12L14 19"},
	{"next", "M10 5L17 12L10 19"},
	// a triangle that is hatched, not only coloured
	{"warning", "M12 3L22 21H2ZM9 9L15 20M6.5 13.5L10 20M12 5.5L19.5 20"},
	{"check", "M4 13L9.5 18.5L20 6"},
	{"camera", "M3 8H7.5L9.5 5H14.5L16.5 8H21V19H3ZM12 9.5C14.2 9.5 15.7 11 15.7 13.2C15.7 15.4 14.2 16.8 12 16.8C9.8 16.8 8.3 15.4 8.3 13.2C8.3 11 9.8 9.5 12 9.5Z"},
	{"flip", "M12 3V5M12 8V10M12 13V15M12 18V20M9 6V18L3 18ZM15 6V18L21 18"},
	{"rotate", "M19.5 9C18.3 6 15.4 4 12 4C7.6 4 4 7.6 4 12C4 16.4 7.6 20 12 20C15.4 20 18.3 18 19.5 15M20 4V9H15"},
	// half of the disc is hatched
	{"invert", "M12 3C17 3 21 7 21 12C21 17 17 21 12 21C7 21 3 17 3 12C3 7 7 3 12 3ZM12 3V21M12 8L17 4.6M12 12L20 6.6M12 16L21 10M12 20L20.5 14.3"},
	{"zoom", "M10.5 4C14.1 4 17 6.9 17 10.5C17 14.1 14.1 17 10.5 17C6.9 17 4 14.1 4 10.5C4 6.9 6.9 4 10.5 4ZM15.2 15.2L21 21M10.5 7.5V13.5M7.5 10.5H13.5"},
	{"practice", "M12 4L22 9L12 14L2 9ZM6 11.5V17C9 19.5 15 19.5 18 17V11.5M22 9V15"},
	{"moon", "M14 3C10 4 7.5 7.5 7.5 11.5C7.5 16.5 11.5 20.5 16.5 20.5C18 20.5 19.3 20.2 20.5 19.5C18.8 21.2 16.4 22 13.5 22C8 22 3.5 17.5 3.5 12C3.5 7.3 7.5 3 14 3Z"},
	{"lock", "M5 11H19V21H5ZM8 11V8C8 5 9.5 3.5 12 3.5C14.5 3.5 16 5 16 8V11M12 15V17.5"},
	{"share", "M17 5L7 12L17 19M17 2.5V7.5M4.5 12H7M17 16.5V21.5"},
}
