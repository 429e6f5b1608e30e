// Package ask answers the questions that the commands and the page both ask of a case, each
// with a document of package show: what the one figure shows, what would help, what to try
// next, what is behind a symptom, how the chain comes off.
package ask
