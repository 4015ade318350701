package source

var doubtMethods = []Method{
	{
		Key: "own-shared", Part: Doubt, Title: "Doubt of a length",
		Formula: "u = √(own² + shared²)\ndifferences of one film: own parts add in quadrature, shared parts with their sign",
		Inputs:  []string{"own: from placing the points, in mm", "shared: from the scale of the film, in mm"},
		Limits:  "Points are taken as independent. A wrong marker size is no doubt and is not in it.",
		Sources: []Key{GUM},
		Check:   "420 mm at a scale known to 1 %, two points of 2 mm, the other femur 3.6 mm: u = 6.21 mm. At 3 %: 13.41 mm, and one of several lengths cannot be told.",
		Code:    []string{"units.Doubt", "units.Minus", "units.Plus"},
	},
	{
		Key: "plus-minus", Part: Doubt, Title: "What ± means",
		Formula: "± = 2 · u, about 95 %",
		Inputs:  []string{"standard uncertainty u, in mm"},
		Limits:  "Errors are taken as normal. Value and ± are rounded together for printing, and nowhere else.",
		Sources: []Key{GUM},
		Check:   "412.4 mm with u = 3.1 mm is printed as 412 ± 6 mm.",
		Code:    []string{"units.Round"},
	},
	{
		Key: "compare", Part: Doubt, Title: "Less, more, or too close to call",
		Formula: "less when limit − L > 2 · u; more when L − limit > 2 · u; else too close to call",
		Inputs:  []string{"a length L with its u, in mm", "a limit, in mm"},
		Limits:  "Too close to call never clears a hazard.",
		Sources: []Key{GUM},
		Check:   "30 mm (u 2) against 24.5 mm: more. 27 mm (u 2) against 24.5 mm: too close to call.",
		Code:    []string{"units.Against"},
	},
	{
		Key: "chance", Part: Doubt, Title: "Chance that a size is right",
		Formula: "right = P(room ≥ size) − P(room ≥ next longer size)\nP from the normal curve",
		Inputs:  []string{"room with its u, in mm", "sizes in stock, in mm"},
		Limits:  "Under 75 % the size is said to be too close to call, with its neighbour. More doubt never makes a choice clearer.",
		Sources: []Key{GUM, CommonUse},
		Check:   "Room 415 mm, u 6.21: 400 mm is right with 78 %, 420 mm with 21 %.",
		Code:    []string{"units.ChanceAbove", "plan.chances"},
	},
	{
		Key: "trials", Part: Doubt, Title: "Where the doubt comes from",
		Formula: "move every doubtful fact by chance, plan again, count",
		Inputs:  []string{"the case with its doubts", "number of trials", "a seed"},
		Limits:  "The same seed gives the same trials on every device. A share of k in n is known to √(p · (1 − p)/n). Locking and answers are held as they are.",
		Sources: []Key{MonteCarlo, GUM},
		Check:   "Rods 950 and 530, burial 5, 2000 trials: the normal curve gives 420 mm a chance of 3.9 %, the trials agree within 1.3 %.",
		Code:    []string{"plan.Trials", "plan.NewTrials"},
	},
}
