// Package show turns sim results into text: aligned tables for people, and JSON
// and CSV whose names carry their units (_mm, _deg, _n) and stay as they are.
package show

// Version of the tool.
const Version = "0.1.0"
