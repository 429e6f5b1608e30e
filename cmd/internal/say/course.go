package say

// Course is a lesson of the page for a class: steps that set the shipped trail bike, speak of a part
// of the page, and ask something.
type Course struct {
	Name  string       `json:"name"`
	Title string       `json:"title"`
	Steps []CourseStep `json:"steps"`
}

// CourseStep is one step. Its answer has numbers of that very bike for the page to put in: {apart}
// and {front} chainlines, mm; {angle 51} and {chance 51 drop_backwards} of a cog; {straightest} gear
// and its {least} angle; {tyre}, words where the bike has one.
type CourseStep struct {
	Title     string      `json:"title"`
	At        string      `json:"at"` // the part of the page, by its id
	Edits     [][2]string `json:"edits"`
	Cog       int         `json:"cog"`
	Direction string      `json:"direction,omitempty"`
	Film      bool        `json:"film,omitempty"`
	Hold      bool        `json:"hold,omitempty"`
	Text      string      `json:"text"`
	Question  string      `json:"question"`
	Answer    string      `json:"answer"`
	// Draw is of a step whose chain angles are drawn before they are shown, and says how near that came: {off} on
	// average, {by} most, on the {farthest}. Left out, nothing is drawn.
	Draw string `json:"draw,omitempty"`
}

// drawnOff says how near a drawn line came.
const drawnOff = "Your line is {off} off on average, and {by} on the {farthest}, where it is furthest off."

// Courses returns the lessons.
func Courses() []Course {
	change := func(path, value string) [][2]string { return [][2]string{{path, value}} }
	none := [][2]string{}
	return []Course{
		{"lines", "Front and rear chainlines differ", []CourseStep{
			{Title: "Two chainlines", At: "chart", Edits: none, Cog: 18,
				Text:     "The front chainline is the distance from the frame centreline to the chainring. The rear chainline is the distance to the middle of the cassette. Both are on one axis below the cogs.",
				Question: "How far outboard of the middle of the cassette is this chainring?",
				Answer:   "By {apart} mm. The next steps ask whether that is a mistake."},
			{Title: "The same chainline", At: "chart", Edits: change("front.line", "48"), Cog: 21, Direction: "riding",
				Text:     "The chainring is now in line with the middle of the cassette. The chain angle of a gear is how far its chain is bent sideways.",
				Question: "Draw the chain angle that you expect over every cog: draw in the figure, or move the points with the arrow keys. Then press Answer.",
				Answer:   "{angle 51} on the 51, {angle 10} on the 10, and least where the cogs are in line with the chainring.", Draw: drawnOff},
			{Title: "What is in the way", At: "map", Edits: change("front.line", "48"), Cog: 51,
				Text:     "Tyre and chainstay need room inboard of the chainring: it cannot be in the hatched part. The rear wheel is in the middle of the frame and cannot move, and neither can hub and cassette. Only the chainring can move, outboard.",
				Question: "Which way must the chainring move, and because of what?",
				Answer:   "Outboard, by the chainstay{tyre}: at {front} mm it is in the hatched part."},
			{Title: "The price", At: "chart", Edits: change("front.line", "54.2"), Cog: 51, Direction: "backwards",
				Text:     "With the chainring further outboard the chain angle grows on the largest cog and shrinks on the smallest. When you back-pedal, no pulley guides the top run onto the cog.",
				Question: "How likely is a chain drop on the 51 when you back-pedal, and on the 38?",
				Answer:   "{chance 51 drop_backwards} on the 51, {chance 38 drop_backwards} on the 38."},
			{Title: "Which gear is straight", At: "chart", Edits: change("front.line", "54.2"), Cog: 18,
				Text:     "The chain is straight at the foot of the V. That is in line with the chainring, not in the middle of the cassette.",
				Question: "Which gear is the straightest?",
				Answer:   "{straightest}, at {least}."},
			{Title: "Choosing", At: "map", Edits: change("front.line", "51"), Cog: 44,
				Text:     "You can choose any position outside the hatched parts. Drag the chainring and watch the columns: where one end gets better, the other gets worse.",
				Question: "Is there a position without a fault in any gear?",
				Answer:   "Look along the columns for one without any shade. The lowest fault score is marked. Ride the straight gears most."},
		}},
		{"backwards", "Back-pedalling is different", []CourseStep{
			{Title: "Riding", At: "chart", Edits: none, Cog: 51, Direction: "riding",
				Text:     "When you ride, the top run is under tension. The chain runs onto the chainring from the cog, and onto the cog from the guide pulley, which is close by and in line with it.",
				Question: "How likely is a chain drop on the 51 when you ride on a smooth road?",
				Answer:   "{chance 51 drop_smooth}."},
			{Title: "Back-pedalling", At: "chart", Edits: none, Cog: 51, Direction: "backwards",
				Text:     "When you back-pedal, the chain runs the other way. Now the top run arrives at the cog with its whole chain angle and almost no tension, because the cage holds the other run.",
				Question: "And when you back-pedal?",
				Answer:   "{chance 51 drop_backwards}, at the same chain angle of {angle 51}."},
			{Title: "Link by link", At: "film", Edits: none, Cog: 51, Direction: "backwards", Film: true,
				Text:     "A link arrives beside its tooth. Inner links are narrow and outer links wide, so every second link has less room. Where a plate lands on the tip, the next links decide: either it falls back, or they follow.",
				Question: "Which links have less room beside a tooth: inner or outer ones?",
				Answer:   "The inner ones: their plates stand closer together."},
			{Title: "Two cogs smaller", At: "chart", Edits: none, Cog: 38, Direction: "backwards",
				Text:     "Two cogs further outboard the chain angle is smaller by less than a degree and a half.",
				Question: "How likely is it there?",
				Answer:   "{chance 38 drop_backwards} at {angle 38}: from unlikely to probable takes less than a degree."},
			{Title: "A worn chain", At: "chart", Edits: change("chain.slack", "1.5"), Cog: 51, Direction: "backwards",
				Text:     "A worn chain has more side play in its joints. The chain angles stay the same, but the arriving link is further off its tooth.",
				Question: "What does that do to the chance on the 38?",
				Answer:   "It is {chance 38 drop_backwards} now. Compare it with the step before."},
		}},
		{"change", "What a change does", []CourseStep{
			{Title: "Today", At: "chart", Edits: none, Cog: 51, Hold: true,
				Text:     "This is the bike as it is. It is kept as “before”, and every change that follows is drawn over it.",
				Question: "What is the chain angle on the 51 and on the 10?",
				Answer:   "{angle 51} and {angle 10}."},
			{Title: "Three millimetres inboard", At: "chart", Edits: change("front.line", "51.2"), Cog: 51, Direction: "riding",
				Text:     "This is another chainring offset, or spacers. The cogs stay where they are, and the whole V moves with the chainring.",
				Question: "Draw the V where you expect it now, over the one from before. Then press Answer.",
				Answer:   "The chain angle is {angle 51} on the 51 now, and {angle 10} on the 10.", Draw: drawnOff},
			{Title: "A longer chainstay", At: "chart", Edits: change("frame.stay", "455"), Cog: 51, Direction: "riding",
				Text:     "The same difference of chainlines over a longer run is a smaller angle. The foot of the V stays where it is.",
				Question: "How much do 20 mm of chainstay take from the chain angles? Draw them, then press Answer.",
				Answer:   "It is {angle 51}: a longer chainstay helps a little everywhere, and an offset helps one side a lot.", Draw: drawnOff},
			{Title: "Another hub", At: "chart", Edits: change("rear.line", "50"), Cog: 51,
				Text:     "This hub carries the cassette 2 mm further outboard. The cogs move, and the chainring stays.",
				Question: "How far apart are front and rear chainline then?",
				Answer:   "{apart} mm."},
			{Title: "Something for nothing?", At: "cards", Edits: none, Cog: 51,
				Text:     "Beside the figure you see what would help most, and what gets worse with it. “Leave it” is an answer too.",
				Question: "Which change would you make, and what would you measure first?",
				Answer:   "There is no one right answer: say what you gain, what it costs, and how sure it is."},
		}},
	}
}
