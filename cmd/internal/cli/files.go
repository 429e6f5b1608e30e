package cli

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// writeFiles writes files into a folder, which it makes when it is not there.
// All are written under temporary names before the first takes its own, so that
// a failure leaves nothing partial.
func writeFiles(dir string, files map[string][]byte, order []string) (err error) {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	temps := map[string]string{}
	defer func() {
		for _, t := range temps {
			os.Remove(t)
		}
	}()
	for _, name := range order {
		f, err := os.CreateTemp(dir, "."+name+".*")
		if err != nil {
			return err
		}
		temps[name] = f.Name()
		if _, err = f.Write(files[name]); err == nil {
			err = f.Chmod(0o644)
		}
		if e := f.Close(); err == nil {
			err = e
		}
		if err != nil {
			return fmt.Errorf("%s: %w", filepath.Join(dir, name), err)
		}
	}
	for _, name := range order {
		if err := os.Rename(temps[name], filepath.Join(dir, name)); err != nil {
			return err
		}
		delete(temps, name)
	}
	return nil
}

// writeWhole writes a file under a temporary name, which becomes its own when all of
// it is written.
func writeWhole(name string, write func(w io.Writer) error) (err error) {
	f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	if err = write(f); err == nil {
		err = f.Chmod(0o644)
	}
	if e := f.Close(); err == nil {
		err = e
	}
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}
