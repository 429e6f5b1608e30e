package cases

import "go.yaml.in/yaml/v3"

// Measure returns a copy of a case with the front or rear line told anew, as Draft takes it:
// 51.5 ± 0.5, or tube 48.6, gap 29.9, or dropouts 141.2, stack 40.3, gap 4.1; an empty answer
// leaves that line. Said are the readings as they were told, by their paths, for Keep; notes
// say what was assumed with it. Errors are *Error, or say what is wrong with the answer.
func (c *Case) Measure(front, rear string) (n *Case, said map[string]string, notes []string, err error) {
	d := &Draft{rings: c.Front.Rings, cogs: c.Rear.Cogs}
	d.speeds = max(c.Speeds, len(c.Rear.Cogs))
	note := ""
	for _, x := range []struct {
		answer string
		set    func(string) (string, error)
	}{{front, d.SetFront}, {rear, d.SetRear}} {
		if note, err = x.set(x.answer); err != nil {
			return nil, nil, nil, err
		}
		if x.answer != "" && note != "" {
			notes = append(notes, note)
		}
	}
	text, err := d.Write()
	if err != nil {
		return nil, nil, nil, err
	}
	told, err := Parse("the answers", text)
	if err != nil {
		return nil, nil, nil, err
	}
	n = c.said()
	n.at = nil
	if front != "" {
		n.Front.Line, n.Front.Measured, n.Front.Lines = told.Front.Line, told.Front.Measured, nil
	}
	if rear != "" {
		n.Rear.Line, n.Rear.Measured, n.Rear.Lines = told.Rear.Line, told.Rear.Measured, nil
	}
	if n, err = n.whole(); err != nil {
		return nil, nil, nil, err
	}
	said = map[string]string{}
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil {
		return nil, nil, nil, err
	}
	for _, path := range []string{"front.line", "front.measured.tube_width", "front.measured.gap", "rear.line", "rear.measured.dropouts", "rear.measured.stack", "rear.measured.gap", "rear.measured.protrusion"} {
		if x := nodeAt(doc.Content[0], path); x != nil && (front != "" && path[0] == 'f' || rear != "" && path[0] == 'r') {
			said[path] = x.Value
		}
	}
	return n, said, notes, nil
}
