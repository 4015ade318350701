package source

// findMethods are what the film itself is searched for. Each only proposes: a
// person sees the proposal drawn and accepts it.
var findMethods = []Method{
	{
		Key: "find-ball", Part: Scale, Title: "Finding a ball or a disc on the film",
		Formula: "ellipse of least squares through the steepest places of the rim\nball: moved outwards by what its fading depth 2·√(r² − d²) and the blur hide",
		Inputs:  []string{"the grey of the film", "one tap in the ball, or none for all balls"},
		Limits:  "Refuses no rim, two rims, one cut by the edge, under 40 px, seen over less than 80 %, fainter than three times the noise. A film changed for the eye carries more doubt. Tried on drawn balls: at most 0.3 px of bias.",
		Sources: []Key{Geometry, CircleFit, GUM},
		Check:   "A ball drawn 120 px across is found 120 px across, its middle within 0.5 px.",
		Code:    []string{"find.Ball", "find.Disc", "find.Balls"},
	},
	{
		Key: "find-ruler", Part: Scale, Title: "Counting the graduations of a ruler",
		Formula: "spacing = slope of the places over their numbers\nu(spacing) = s / √Σ(i − ī)²",
		Inputs:  []string{"the grey along the line between two taps", "s, scatter of the places, in px"},
		Limits:  "What one space stands for is a person’s to say. Refuses taps under 100 px apart, fewer than five graduations, a finer period that is only partly there, and spaces that grow along the ruler.",
		Sources: []Key{Geometry, GUM},
		Check:   "Graduations drawn every 12.5 px: 16 spaces between the taps, each 12.50 px.",
		Code:    []string{"find.Ruler"},
	},
	{
		Key: "find-corners", Part: Scale, Title: "Finding edges and corners",
		Formula: "corner = where two straight edges meet\nedge = steepest place of the grey, square to it",
		Inputs:  []string{"the grey about a tap, or of a whole photo"},
		Limits:  "Refuses edges under four times the noise, rivals of like strength, corners flatter than 30°, and a frame of which a side is seen over less than 60 %. It cannot know a film from a light box: a person must look.",
		Sources: []Key{Hough, Geometry},
		Check:   "A bright sheet drawn from (60, 80) to (340, 420): corner at (60, 80), left edge at 60 px.",
		Code:    []string{"find.Corners", "find.SnapCorner", "find.SnapEdge"},
	},
	{
		Key: "find-shaft", Part: Bone, Title: "Tracing the shaft, and the isthmus",
		Formula: "four edges at once, least cost down the levels, a price on each step aside\ninner width = w + k·(x₀ − x)² above, w + m·(x − x₀)² below the isthmus",
		Inputs:  []string{"the grey between two taps on the shaft", "places that a person gave to an edge"},
		Limits:  "A level where an edge is unsure is left out and never filled in. Refuses less than 40 % seen, and an isthmus at an end or beside a part left out. A flat canal has a well known width and a badly known level.",
		Sources: []Key{Bellman, Geometry, GUM},
		Check:   "A pipe drawn 44 px wide inside at its narrowest, at 600 px: found 44 px, the level within its doubt.",
		Code:    []string{"find.Trace", "find.Shaft.Isthmus"},
	},
	{
		Key: "find-bow", Part: Bone, Title: "The bow along a trace",
		Formula: "s = R − √(R² − c²/4)\nu(s) = scatter · √(45/4) / √N",
		Inputs:  []string{"the middle of the canal at every level of a trace", "N, levels that count as independent"},
		Limits:  "No radius where the height is under two of its standard uncertainties. Refuses a chord under four widths of the bone and under 30 levels. Accepted, it stands as five places with a slip that gives back this doubt.",
		Sources: []Key{CircleFit, Geometry, GUM},
		Check:   "Levels on an arc of 3000 px over 1000 px: 41.96 px high, radius 3000 px.",
		Code:    []string{"find.Trace", "find.Shaft.Bow"},
	},
	{
		Key: "find-head", Part: Bone, Title: "Finding the head of the femur",
		Formula: "circle of least squares through the places of the rim that agree\nthree accepted places on it: slip = max(√3 · u(R), √1.5 · u(centre))",
		Inputs:  []string{"the grey about a tap in the head"},
		Limits:  "Refuses a rim seen on less than 60 %, a radius known to 5 % only, and two circles about as good.",
		Sources: []Key{CircleFit, Geometry, GUM},
		Check:   "A head drawn 46.0 mm across is found within 0.5 mm.",
		Code:    []string{"find.Head"},
	},
	{
		Key: "find-neck", Part: Bone, Title: "Finding the neck and its angle to the shaft",
		Formula: "axis = middle of the narrowest place → centre of the head\nangle between it and the shaft downwards",
		Inputs:  []string{"the head", "two places on the middle of the shaft"},
		Limits:  "Of the shadow: a turned leg shows another angle than the bone has. Refuses a shaft that does not lie beside the head, edges that are not seen, and a width without a least value.",
		Sources: []Key{Bellman, Geometry, GUM},
		Check:   "A drawn hip: the angle of its shadow is found within 3°.",
		Code:    []string{"find.Neck"},
	},
}
