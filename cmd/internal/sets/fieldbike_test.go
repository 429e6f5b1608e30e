package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
)

const panelDir = "../../../testdata/field/"

// fieldPanels reads the field panel by the files' names without ending.
func fieldPanels(t *testing.T) map[string]*fieldBike {
	t.Helper()
	files, err := filepath.Glob(panelDir + "*.yaml")
	require.NoError(t, err)
	all := map[string]*fieldBike{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		name := strings.TrimSuffix(filepath.Base(f), ".yaml")
		all[name], err = parseFieldBike(name, text)
		require.NoError(t, err)
	}
	return all
}

// each calls f for every gear of a panel.
func (p *fieldBike) each(f func(ring, cog int)) {
	for _, r := range p.Case.Front.Rings {
		for _, c := range p.Case.Rear.Cogs {
			f(r, c)
		}
	}
}

// added are claims that came later, of which older files say nothing.
var added = map[claim]bool{claimCageRub: true, claimTooLong: true}

func TestPanelAnswersEveryClaimInEveryGear(t *testing.T) {
	all := fieldPanels(t)
	require.Len(t, all, 82)
	counts, gears := map[claim][3]int{}, 0
	for name, p := range all {
		assert.NotEmpty(t, p.Grade, name)
		p.each(func(ring, cog int) {
			gears++
			for _, c := range claims() {
				yes, scored, source := p.Expected(c, ring, cog)
				if !added[c] {
					assert.NotEmpty(t, source, "%s: %s %d/%d", name, c, ring, cog)
				}
				n := counts[c]
				switch {
				case !scored:
					assert.False(t, yes)
					n[2]++
				case yes:
					n[0]++
				default:
					n[1]++
				}
				counts[c] = n
			}
		})
	}
	assert.Equal(t, 1264, gears)
	assert.Equal(t, map[claim][3]int{ // yes, no, maybe
		claimNoise:    {13, 224, 1027},
		claimRideDrop: {4, 318, 942},
		claimBackDrop: {7, 205, 1052},
		claimCogRub:   {3, 263, 998},
		claimRingRub:  {12, 244, 1008},
		claimTyre:     {2, 236, 1026},
		claimSlack:    {7, 229, 1028},
		claimClose:    {0, 236, 1028},
		claimCageRub:  {13, 24, 1227},
		claimTooLong:  {2, 1, 1261},
	}, counts)
}

// Files of one bicycle or source are left out together, all others alone.
func TestPanelGroups(t *testing.T) {
	all := fieldPanels(t)
	groups, members := map[string]bool{}, map[string][]string{}
	for name, p := range all {
		groups[p.Group] = true
		members[p.Group] = append(members[p.Group], name)
	}
	for _, same := range []string{"q07 q08", "r01 r02 r03", "r15 r16", "p25 p26", "q01 q23", "p11 p13 p14 p23", "q21 r25", "p16 p17", "p04 p05",
		"q31 q32", "q35 q36", "q37 q38", "q43 q44", "q48 q49", "q52 q53", "q58 q59", "q64 q65", "q73 q74"} {
		names := strings.Fields(same)
		assert.ElementsMatch(t, names, members[all[names[0]].Group])
		delete(groups, all[names[0]].Group)
	}
	for g := range groups {
		assert.Len(t, members[g], 1, g)
	}
}

// Every source that answers stands in the list, with its kind; "none" and "corrected" only where
// nothing is said.
func TestPanelSourcesAreListed(t *testing.T) {
	sources, err := readSources(panelDir + "sources.tsv")
	require.NoError(t, err)
	for name, p := range fieldPanels(t) {
		for _, s := range p.said {
			for _, source := range strings.Split(s.source, ",") {
				if source == "none" || source == "corrected" {
					assert.Equal(t, "maybe", s.answer, "%s: %s", name, source)
					continue
				}
				assert.Contains(t, sources, source, name)
			}
		}
	}
	assert.Equal(t, practice, sources["practice"])
	k, err := kindOf(sources, "S7,S1")
	require.NoError(t, err)
	assert.Equal(t, told, k, "the nearest counts")
	_, err = kindOf(sources, "S7,Z9")
	assert.ErrorContains(t, err, "Z9")
	assert.Equal(t, []float64{1, 1, 0, practiceWeight}, []float64{observed.weight(true), told.weight(false), advice.weight(true), practice.weight(false)})
	for _, bad := range []string{"A\tseen\twhat", "A\ttold"} {
		name := filepath.Join(t.TempDir(), "s.tsv")
		require.NoError(t, os.WriteFile(name, []byte("source\tkind\twhat it says\n"+bad+"\n"), 0o644))
		_, err := readSources(name)
		assert.ErrorContains(t, err, "s.tsv:2: want a source, one of observed, told, advice, practice")
	}
}

func TestPanelExampleOfTheReadme(t *testing.T) {
	text, err := os.ReadFile(panelDir + "README.md")
	require.NoError(t, err)
	_, example, ok := strings.Cut(string(text), "```yaml\n")
	require.True(t, ok)
	example, _, _ = strings.Cut(example, "```")
	p, err := parseFieldBike("example.yaml", []byte(example))
	require.NoError(t, err)
	assert.Equal(t, [3]string{"marginal", "strong", "own-commuter"}, [3]string{p.Grade, p.Weight, p.Group})
	assert.False(t, p.FrontAssumed)
	assert.True(t, p.RearAssumed)
	quiet, open := 0, 0
	p.each(func(ring, cog int) {
		if yes, scored, _ := p.Expected(claimNoise, ring, cog); scored && !yes {
			quiet++
		}
		if _, scored, _ := p.Expected(claimBackDrop, ring, cog); !scored {
			open++
		}
	})
	assert.Equal(t, 7, quiet)
	assert.Equal(t, 4, open)
}

// panelOf returns a double's panel of these #! lines; they begin on line 1.
func panelOf(lines string) []byte {
	return []byte(lines + `
chainpath: 1
title: "made for this test"
speeds: 11
frame: {stay: 410, drop: 70}
front: {line: 43.5, rings: [34, 50]}
rear: {line: 43.5, cogs: [11, 13, 15, 17, 19]}
tensioner: {cage: 56}
`)
}

func TestPanelPatterns(t *testing.T) {
	p, err := parseFieldBike("double.yaml", panelOf("#! noise * no A\n#!noise 34/*,*/19 yes B\r\n  #! noise 34/11,50/19 maybe C,D\n#! tyre */* no E\n#! slack 50/13 yes F"))
	require.NoError(t, err)
	for _, c := range []struct {
		claim     claim
		ring, cog int
		want      string
	}{
		{claimNoise, 50, 11, "false true A"},
		{claimNoise, 34, 13, "true true B"},
		{claimNoise, 34, 19, "true true B"},
		{claimNoise, 34, 11, "false false C,D"},
		{claimNoise, 50, 19, "false false C,D"},
		{claimTyre, 34, 15, "false true E"},
		{claimSlack, 50, 13, "true true F"},
		{claimSlack, 34, 13, "false false "},
		{claimClose, 34, 11, "false false "},
		{claimTyre, 39, 11, "false false "}, // no such gear
		{claimTyre, 34, 12, "false false "},
		{"colour", 34, 11, "false false "},
	} {
		yes, scored, source := p.Expected(c.claim, c.ring, c.cog)
		assert.Equal(t, c.want, fmt.Sprintf("%t %t %s", yes, scored, source), "%s %d/%d", c.claim, c.ring, c.cog)
	}
	assert.Equal(t, [3]string{"", "", "double.yaml"}, [3]string{p.Grade, p.Weight, p.Group})
}

func TestPanelMessages(t *testing.T) {
	const words = "grade, weight, group, cure, noise, ride_drop, back_drop, cog_rub, ring_rub, tyre, slack, close, cage_rub, cage_slack"
	for _, c := range []struct{ lines, want string }{
		{"# no such line", `p.yaml: no line that begins with #!, want at least one that says what is known`},
		{"#!", `p.yaml:1:3: nothing, want one of ` + words},
		{"#! grade fine", `p.yaml:1:10: grade: "fine", want one of good, marginal, bad`},
		{"#! grade", `p.yaml:1:9: grade: nothing, want one of good, marginal, bad`},
		{"#! grade good\n#! grade good", `p.yaml:2:10: grade: given twice`},
		{"#! grade good enough", `p.yaml:1:15: grade: "enough" after "good", want nothing more`},
		{"#! weight heavy", `p.yaml:1:11: weight: "heavy", want one of strong, weak`},
		{"#! group", `p.yaml:1:9: group: nothing, want a name`},
		{"#! group the commuter", `p.yaml:1:14: group: "commuter" after "the", want nothing more`},
		{"#! cure glue A", `p.yaml:1:9: cure: unknown kind "glue", want one of hanger, cable, freehub, cassette, tension, front_derailleur, chain, tyre, inboard, outboard, hub_inboard, hub_outboard, avoid`},
		{"#! cure cable", `p.yaml:1:14: cure: nothing, want a source`},
		{"#! nose * no A", `p.yaml:1:4: unknown word "nose", did you mean "noise"?`},
		{"#! rattle * no A", `p.yaml:1:4: unknown word "rattle", want one of ` + words},
		{"#! noise", `p.yaml:1:9: noise: nothing, want gears: * or a list such as 34/11,*/12`},
		{"#! noise * ", `p.yaml:1:11: noise: nothing, want yes, no or maybe`},
		{"#! noise * often A", `p.yaml:1:12: noise: unknown answer "often", want yes, no or maybe`},
		{"#! noise 34/11, 34/13 no A", `p.yaml:1:10: noise: "" is no gear, want * or ring/cog in teeth with * for any, such as 34/11 or */12, and no blanks in a list`},
		{"#! noise 34-11 no A", `p.yaml:1:10: noise: "34-11" is no gear, want * or ring/cog in teeth with * for any, such as 34/11 or */12, and no blanks in a list`},
		{"#! noise 34/11,39/* no A", `p.yaml:1:10: noise: "39/*" names no gear of this bicycle, its chainrings are 34, 50`},
		{"#! noise 34/12 no A", `p.yaml:1:10: noise: "34/12" names no gear of this bicycle, its cogs are 11, 13, 15, 17, 19`},
		{"#! noise 11/34 no A", `p.yaml:1:10: noise: "11/34" names no gear of this bicycle, its chainrings are 34, 50`},
		{"# a line\n\t#! noise  34/11 no", `p.yaml:2:20: noise: nothing, want a source`},
		{"#! noise * no A B", `p.yaml:1:17: noise: "B" after "A", want nothing more`},
		{"# größer\n#! noise größer no A", `p.yaml:2:10: noise: "größer" is no gear, want * or ring/cog in teeth with * for any, such as 34/11 or */12, and no blanks in a list`},
		{"#! group größer als", `p.yaml:1:17: group: "als" after "größer", want nothing more`},
		{"#! noise * no A\nspeed: 11", `p.yaml:2:1: unknown field "speed", did you mean "speeds"?`},
	} {
		_, err := parseFieldBike("p.yaml", panelOf(c.lines))
		var e *cases.Error
		require.ErrorAs(t, err, &e, c.lines)
		assert.Equal(t, c.want, err.Error(), c.lines)
		assert.NotContains(t, err.Error(), "\n")
	}
}

func TestPanelAssumedLines(t *testing.T) {
	const rest = "#! grade good\nchainpath: 1\ntitle: t\nspeeds: 11\nframe: {stay: 410, drop: 70}  # assumed\ntensioner: {cage: 56}  # assumed\n"
	const flow, rear = "front: {line: 43.5, rings: [34, 50]}", "\nrear: {line: 43.5, cogs: [11, 13, 15]}  # line assumed\n"
	for _, c := range []struct {
		front string
		want  bool
	}{
		{flow, false},
		{flow + "  # assumed", true},
		{flow + " # line assumed", true},
		{flow + " # lines assumed", true},
		{flow + " #line assumed (usual for the part named); teeth as stated", true},
		{flow + " # line assumed 43.5 + 2 stated", true},
		{flow + " # teeth as stated; line  assumed", true},
		{flow + " # Assumed, 130 mm", true},
		{flow + " # line stated: as for rim brakes; teeth assumed", false},
		{flow + " # line from the offset stated (6 mm); teeth assumed", false},
		{flow + " # line 8 mm off stated; teeth assumed", false},
		{`front: {line: "43.5 mm", rings: [34, 50]} # line assumed`, true},
		{"front: {ring_lines: [40, 47], rings: [34, 50]} # lines assumed", true},
		{"front:\n  line: 43.5  # assumed\n  rings: [34, 50]", true},
		{"front:\n  line: 43.5\n  rings: [34, 50]  # assumed", false}, // the teeth
		{"front:\n  line: 43.5\n  ring_pitch: 7  # assumed\n  rings: [34, 50]", true},
		{"front:\n  ring_lines: [40, 47]  # assumed\n  rings: [34, 50]", true},
	} {
		p, err := parseFieldBike("p.yaml", []byte(rest+c.front+rear))
		require.NoError(t, err, c.front)
		assert.Equal(t, c.want, p.FrontAssumed, c.front)
		assert.True(t, p.RearAssumed)
	}
	p, err := parseFieldBike("p.yaml", []byte(rest+flow+" # assumed\nrear:\n  cog_lines: [48, 44, 40] # line assumed\n  cogs: [11, 13, 15]\n"))
	require.NoError(t, err)
	assert.True(t, p.RearAssumed)
}

var firstFiles = regexp.MustCompile(`^[pqr][0-9]+$`)

// The marks of the panel's first files, as read by eye.
func TestPanelAssumedLinesOfTheField(t *testing.T) {
	stated := map[string]string{"q25": "rear", "q31": "front", "q32": "front", "q64": "front", "q65": "front", "r07": "front", "r15": "front", "r16": "front", "r23": "front rear"}
	for name, p := range fieldPanels(t) {
		if !firstFiles.MatchString(name) {
			continue
		}
		practice := name[0] == 'p'
		assert.Equal(t, !practice && !strings.Contains(stated[name], "front"), p.FrontAssumed, "%s front", name)
		assert.Equal(t, !practice && !strings.Contains(stated[name], "rear"), p.RearAssumed, "%s rear", name)
	}
}

func TestEndComment(t *testing.T) {
	for line, want := range map[string]string{
		`a: 1 # b # c`:         "b # c",
		`a: 1# b`:              "",
		`a: "1 # b" # c`:       "c",
		`a: '1 # b' # c`:       "c",
		`a: "1 \" # b" ## c  `: "c",
		`a: rider's # b`:       "b",
		`# whole`:              "whole",
		"a: 1\t# b\r":          "b",
		``:                     "",
	} {
		assert.Equal(t, want, endComment(line), line)
	}
}

// No bytes after #! upset the reader: a panel or an *cases.Error.
func FuzzParsePanel(f *testing.F) {
	f.Add("#! grade good\n#! noise */11 yes A")
	f.Add("#! noise 34/11, no")
	f.Add("#!\x00\xff ü\r")
	f.Fuzz(func(t *testing.T, lines string) {
		if p, err := parseFieldBike("p.yaml", panelOf(lines)); err != nil {
			var e *cases.Error
			require.ErrorAs(t, err, &e)
			require.NotContains(t, e.Error(), "\n")
		} else {
			p.Expected(claimNoise, 34, 11)
		}
	})
}
