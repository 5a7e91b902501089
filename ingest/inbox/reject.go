package inbox

import (
	"bytes"
	"errors"
	"io/fs"

	"hardfeed/ingest/disk"
	"hardfeed/ration/yard"
)

// reject puts the workbook, and beside it why, into rejected. The note is
// written first and is the same each time, so that a crash between the two
// leaves one note, not two.
func (j *job) reject(why error) {
	told := yard.Telling(why)
	text := j.note(yard.Say("inbox.rejected.note", fileArg(j.name)), yard.Saying{}, told, yard.Saying{}, yard.Say("inbox.rejected.again"))
	if err := j.moveToRejected(text); err != nil {
		j.failed("inbox.doing.reject", err)
		return
	}
	j.box.step("rejected")
	j.ended = rejected
	j.box.Say(yard.Say("inbox.rejected", fileArg(j.name), yard.Named("folder", yard.Place, rejectedDir), yard.Said("why", told)))
	j.clear() // else the next round finds no workbook in it
}

// note is lines for people, in a file beside the workbook.
func (j *job) note(lines ...yard.Saying) []byte {
	var text []byte
	for _, l := range lines {
		text = append(append(text, j.box.Words(l)...), "\r\n"...)
	}
	return text
}

func (j *job) moveToRejected(note []byte) error {
	j.box.naming.Lock()
	defer j.box.naming.Unlock()
	if err := disk.MakeFolder(j.root, rejectedDir); err != nil {
		return err
	}
	name, err := freeName(j.name, func(s string) (bool, error) {
		if is, err := disk.There(j.root, rejectedDir+"/"+s); err != nil {
			return false, err
		} else if is {
			sum, _, err := disk.Sum(j.root, rejectedDir+"/"+s, 0)
			return sum != j.sum, err // the same bytes may take each other's place
		}
		return otherText(j.root, rejectedDir+"/"+noteName(s), note)
	})
	if err != nil {
		return err
	}
	j.box.step("reject")
	if err := disk.WriteWhole(j.root, scratch, rejectedDir+"/"+noteName(name), note); err != nil {
		return err
	}
	j.box.step("rejecting")
	return disk.Move(j.root, j.dir+"/"+j.name, rejectedDir+"/"+name)
}

// otherText says whether a file is there and holds something else than text.
func otherText(root disk.FS, name string, text []byte) (bool, error) {
	old, err := disk.ReadFile(root, name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil && !bytes.Equal(old, text), err
}

func noteName(workbook string) string {
	stem, _ := cutExt(workbook)
	return stem + ".txt"
}
