// Command chainpath says what a bicycle's chain will do before a part is bought.
package main

import (
	"os"

	"chainpath/cmd/internal/cli"
)

func main() {
	os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
