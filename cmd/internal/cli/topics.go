package cli

import (
	"fmt"
	"strings"

	"github.com/cpuguy83/go-md2man/v2/md2man"
	"github.com/spf13/cobra"

	"chainpath/cmd/internal/reference"
	"chainpath/cmd/internal/show"
)

// newTopics are the help topics of the reference pages.
func newTopics() (list []*cobra.Command) {
	for _, topic := range reference.Topics {
		title, text := reference.Page(topic)
		c := &cobra.Command{Use: topic, Short: title}
		c.SetHelpFunc(func(c *cobra.Command, args []string) { // set out only where it is read
			c.Long = title + "\n\n" + reference.Plain(text, show.Columns, show.Wrap)
			c.Parent().HelpFunc()(c, args)
		})
		list = append(list, c)
	}
	return list
}

// topicManuals adds the reference pages as manual pages of section 7.
func topicManuals(files map[string][]byte, order *[]string) {
	for _, topic := range reference.Topics {
		title, text := reference.Page(topic)
		name := "chainpath-" + topic + ".7"
		head := fmt.Sprintf("%% %s(7) chainpath %s\n%%\n%%\n\n# NAME\n\nchainpath-%s - %s\n\n# DESCRIPTION\n\n", strings.ToUpper("chainpath-"+topic), Version, topic, title)
		files[name] = md2man.Render([]byte(head + text))
		*order = append(*order, name)
	}
}
