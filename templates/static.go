package templates

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
)

// Static is the folder of files a browser may keep: style, script, icon.
func Static() fs.FS {
	folder, err := fs.Sub(files, "static")
	if err != nil {
		panic(err) // the folder is embedded above
	}
	return folder
}

// Assets gives the address of each static file with a mark of its content behind it, so that a browser may keep it
// until it changes.
func Assets() (map[string]string, error) {
	assets := map[string]string{}
	err := fs.WalkDir(Static(), ".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		content, err := fs.ReadFile(Static(), path)
		mark := sha256.Sum256(content)
		assets[path] = "/static/" + path + "?v=" + hex.EncodeToString(mark[:6])
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("templates: static: %w", err)
	}
	return assets, nil
}
