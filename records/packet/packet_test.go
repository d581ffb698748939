package packet

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"canewright/hazards/toolcheck"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

var theDays = Range{"2025-12-07", "2025-12-08"}

func packetOf(t testing.TB, h *season, between Range, opt Options) ([]byte, Summary) {
	t.Helper()
	var out bytes.Buffer
	summary, err := Write(h.ctx, h.Store, &out, between, opt)
	require.NoError(t, err)
	return out.Bytes(), summary
}

// unpacked is the packet's files by name.
func unpacked(t testing.TB, body []byte) map[string][]byte {
	t.Helper()
	archive, err := zip.NewReader(bytes.NewReader(body), int64(len(body)))
	require.NoError(t, err)
	files := map[string][]byte{}
	for _, f := range archive.File {
		r, err := f.Open()
		require.NoError(t, err)
		files[f.Name], err = io.ReadAll(r)
		require.NoError(t, err)
	}
	return files
}

// rowsOf reads a CSV file back: one map from column to cell for each row, guards taken off.
func rowsOf(t testing.TB, body []byte) []map[string]string {
	t.Helper()
	lines, err := csv.NewReader(bytes.NewReader(body)).ReadAll()
	require.NoError(t, err)
	require.NotEmpty(t, lines)
	var rows []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, cell := range line {
			row[lines[0][i]] = Unguard(cell)
		}
		rows = append(rows, row)
	}
	return rows
}

func TestPacketHoldsTheChains(t *testing.T) {
	h := newSeason(t)
	// The first lot alone is filled on the day; its run left a heel in the second, which is downstream of the run, not of the lot.
	body, summary := packetOf(t, h, Range{"2025-12-07", "2025-12-07"}, Options{By: "Ada Quill"})
	files := unpacked(t, body)
	assert.Equal(t, 1, summary.Lots)
	assert.Equal(t, 1, summary.Runs)
	assert.Equal(t, 2, summary.Sheets)
	assert.Len(t, files, summary.Files+2)
	for _, name := range []string{"index.pdf", "sheets/25341K2.pdf", "sheets/25341K2B1-P.pdf", "logs/boil_log.csv", "logs/fill_log.csv", "amendments.csv",
		"tables/harvest.csv", "tables/initial_packing.csv", "tables/transformation.csv", "tables/shipping.csv", "tables/receiving.csv",
		"tables/records/cut.csv", "tables/records/application.csv", "tables/records/customer.csv", "tables/records/complaint.csv", "manifest.json", "manifest.sha256"} {
		assert.Contains(t, files, name)
	}
	assert.NotContains(t, files, "sheets/25342K2B1-V.pdf", "filled on the next day")
	cuts := rowsOf(t, files["tables/records/cut.csv"])
	require.Len(t, cuts, 1)
	assert.Equal(t, "2025-12-06", cuts[0]["cut_on"], "the cane was cut before the range")
	shipments := rowsOf(t, files["tables/records/shipment.csv"])
	assert.Len(t, shipments, 3, "and the bottles left after it")

	_, both := packetOf(t, h, theDays, Options{})
	assert.Equal(t, 2, both.Lots)
	_, none := packetOf(t, h, Range{"2024-01-01", "2024-12-31"}, Options{})
	assert.Zero(t, none.Lots)
}

func TestEventTables(t *testing.T) {
	h := newSeason(t)
	body, _ := packetOf(t, h, theDays, Options{})
	files := unpacked(t, body)

	harvest := rowsOf(t, files["tables/harvest.csv"])
	require.Len(t, harvest, 1)
	assert.Equal(t, "Creek field", harvest[0]["Field or growing area name"])
	assert.Equal(t, "907.18474", harvest[0]["Quantity"], "2000 lb by the pound's definition")
	assert.Equal(t, "kg", harvest[0]["Unit of measure"])
	assert.Equal(t, "2000 lb", harvest[0]["Quantity as entered"])
	assert.Equal(t, "Cal Reed", harvest[0]["Harvester name"])
	assert.Equal(t, "+1 601 555 0144", harvest[0]["Harvester phone"])

	packing := rowsOf(t, files["tables/initial_packing.csv"])
	require.Len(t, packing, 2)
	assert.Equal(t, "25341K2B1-P", packing[0]["Traceability lot code"])
	assert.Equal(t, "70", packing[0]["Quantity packed"])
	assert.Equal(t, "1", packing[0]["Share of the lot"])
	assert.Empty(t, packing[1]["Quantity packed"], "still filling: not recorded, not zero")

	made := rowsOf(t, files["tables/transformation.csv"])
	events := map[string]int{}
	for _, row := range made {
		events[row["Event"]]++
	}
	assert.Equal(t, map[string]int{"pressing": 2, "kettle run": 3, "into tank": 2, "bottling": 2}, events)
	bottling := made[slices.IndexFunc(made, func(r map[string]string) bool { return r["Event"] == "bottling" })]
	assert.Equal(t, "25341K2", bottling["Input traceability lot code"])
	assert.Equal(t, "9 gal", bottling["Input quantity as entered"])
	assert.Equal(t, "2025-12-07T11:45:00-06:00", bottling["Date transformation completed"], "RFC 3339 with the house's offset")

	shipping := rowsOf(t, files["tables/shipping.csv"])
	require.Len(t, shipping, 3)
	assert.Equal(t, "Fern Market; 3 Mill Street, Tern, MS 39002", shipping[0]["Location description of the immediate subsequent recipient"])
	assert.Equal(t, "+1 601 555 0155", shipping[0]["Recipient phone"])
	assert.Equal(t, "Pelican Freight", shipping[0]["Transporter"])
	assert.Equal(t, "24", shipping[0]["Quantity"])

	receiving := rowsOf(t, files["tables/receiving.csv"])
	assert.Equal(t, []string{"G-88", "C-12", "S-3"}, []string{receiving[0]["Traceability lot code"], receiving[1]["Traceability lot code"], receiving[2]["Traceability lot code"]})
	assert.Equal(t, "qt", receiving[2]["Unit of measure"])
}

func TestLogsAndAmendments(t *testing.T) {
	h := newSeason(t)
	body, _ := packetOf(t, h, theDays, Options{})
	files := unpacked(t, body)
	var finish, struck, amended map[string]string
	for _, row := range rowsOf(t, files["logs/boil_log.csv"]) {
		switch {
		case row["run"] == "25341K2" && row["what"] == "density_finish":
			finish = row
		case row["struck"] == "true":
			struck = row
		case row["temperature_entered"] == "207 F":
			amended = row
		}
	}
	assert.Equal(t, "235", finish["minutes_since_fire_lit"])
	assert.Equal(t, []string{"36.1", "Be", "36.1 Be", "224 F", "C", "%"}, []string{finish["reading"], finish["scale"], finish["reading_entered"],
		finish["temperature_entered"], finish["temperature_unit"], finish["solids_unit"]})
	assert.Equal(t, "cloth", struck["what"], "a struck entry stays in the log")
	assert.Equal(t, "Ben Oak", amended["person"], "who read it, not who corrected it")

	fill := rowsOf(t, files["logs/fill_log.csv"])
	require.Len(t, fill, 4)
	assert.Equal(t, "186 F", fill[0]["bottle_temperature_entered"])
	assert.Empty(t, fill[1]["bottle_temperature"])
	assert.Empty(t, fill[1]["bottle_temperature_unit"], "no unit without a quantity")

	fields := map[string]map[string]string{}
	for _, row := range rowsOf(t, files["amendments.csv"]) {
		fields[row["field"]] = row
	}
	assert.Equal(t, []string{"205 F", "207 F", "Ada Quill", "misread the dial"}, []string{fields["temperature_entered"]["was"], fields["temperature_entered"]["now"],
		fields["temperature_entered"]["written_by"], fields["temperature_entered"]["why"]})
	assert.Equal(t, "that was the other kettle", fields["struck"]["why"])
}

// Sign-in data, names of private persons and contacts never leave with a packet, in whatever file.
func TestPacketKeepsApart(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	h.now(h.at(63, 0))
	shop, err := records.Get[records.Customer](h.ctx, h, h.person.ID)
	h.ok(err)
	shop.Contact.Telephone = "+1 601 555 0188"
	h.ok(h.Amend(h.ctx, h.ada, &shop, "new number"))
	ben, err := records.Get[records.Person](h.ctx, h, h.ben.PersonID)
	h.ok(err)
	ben.Login = "ben-signs-in-anew"
	h.ok(h.Amend(h.ctx, h.ada, &ben, "asked for it"))
	body, _ := packetOf(t, h, theDays, Options{})
	for name, file := range unpacked(t, body) {
		said := string(file)
		if strings.HasSuffix(name, ".pdf") {
			said = readText(t, file)
		}
		for _, never := range []string{"signs-in", "Sandpiper", "0166", "0188", "Dot Vale", "fern.example", "Plover", "0177", "contact_hash", "password", "⟦"} {
			assert.NotContains(t, said, never, name)
		}
	}
}

func TestIndex(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	body, summary := packetOf(t, h, theDays, Options{By: "Ada Quill"})
	read := strings.ReplaceAll(readText(t, unpacked(t, body)["index.pdf"]), "−", "-")
	for _, want := range []string{"Records for an inspector", "7 Dec 2025 – 8 Dec 2025", "Ada Quill", "25341K2B1-P", "25342K2B1-V", "released", "filling", "hold",
		"Fern Market 24; private persons 2;", "Tern Square market 12", "32", "Made in a farm kitchen that the county does not inspect.",
		"Rule entered by owner on 30 Sep 2025; not verified by this program.", summary.Head.Hash, "Names of private persons are left out.",
		"Records and estimates to support your own decisions."} {
		assert.Contains(t, strings.ReplaceAll(read, "- ", "-"), strings.ReplaceAll(want, "- ", "-"))
	}
}

func TestPacketIsDetermined(t *testing.T) {
	h := newSeason(t)
	opt := Options{By: "Ada Quill", MadeAt: time.Date(2026, 1, 5, 9, 30, 1, 500, time.UTC), Version: "test"}
	first, _ := packetOf(t, h, theDays, opt)
	second, _ := packetOf(t, h, theDays, opt)
	assert.True(t, bytes.Equal(first, second))
	opt.By = "Ben Oak"
	other, _ := packetOf(t, h, theDays, opt)
	assert.False(t, bytes.Equal(first, other))
}

func TestWriteRefuses(t *testing.T) {
	h := newSeason(t)
	for name, test := range map[string]struct {
		between Range
		field   string
	}{
		"no day":        {Range{"", "2025-12-07"}, "from"},
		"not a day":     {Range{"2025-12-07", "2025-13-01"}, "to"},
		"backwards":     {Range{"2025-12-08", "2025-12-07"}, "to"},
		"house's words": {Range{"7 Dec", "2025-12-07"}, "from"},
	} {
		t.Run(name, func(t *testing.T) {
			var out bytes.Buffer
			_, err := Write(h.ctx, h.Store, &out, test.between, Options{})
			var invalid records.Invalid
			require.ErrorAs(t, err, &invalid)
			assert.Equal(t, test.field, invalid[0].Field)
			assert.Zero(t, out.Len(), "nothing half-written")
		})
	}
}

// A lot struck as a mistake keeps its code: the packet lists it, with why.
func TestPacketListsStruckLots(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	lot := records.Lot{SiteID: h.site.ID, ProductID: h.lot.ProductID, ContainerID: h.lot.ContainerID, StartedAt: h.at(35, 40)}
	h.ok(h.StartFilling(h.ctx, h.ben, &lot, []records.Draw{{FromID: h.thin.ID, Volume: ptr(syrup.Liters(1)), Entered: "1 L"}}))
	h.ok(h.Strike(h.ctx, h.ada, lot.ID, "tapped twice"))
	body, summary := packetOf(t, h, theDays, Options{})
	assert.Equal(t, 2, summary.Lots)
	read := readText(t, unpacked(t, body)["index.pdf"])
	assert.Contains(t, read, "tapped twice")
	assert.Contains(t, strings.ReplaceAll(read, "−", "-"), records.PrintedCode(lot.Code))
	kept := map[string]string{}
	for _, row := range rowsOf(t, unpacked(t, body)["tables/records/lot.csv"]) {
		kept[row["code"]] = row["struck"]
	}
	assert.Equal(t, "true", kept[lot.Code])
}

// What a part's owner wrote in four parts, and an addition to the tank between run and lot, stand on the lot's sheet.
func TestSheetShowsAnswersAndTankAdditions(t *testing.T) {
	toolcheck.Need(t, "pdftotext")
	h := newSeason(t)
	links, err := records.List[records.Link](h.ctx, h, "to_id = ?", h.blend.ID)
	h.ok(err)
	parts, err := records.List[records.Part](h.ctx, h, "lot_id = ?", h.blend.ID)
	h.ok(err)
	h.put(h.ada, &records.Addition{ToID: links[0].FromID, At: h.at(35, 10), Substance: "Cool well water", Use: "water", AmountEntered: "1 qt"},
		&records.CorrectiveAction{PartID: parts[0].ID, At: h.at(61, 50), Finding: "identity.below_cane", AboutID: h.thin.ID, Problem: "drawn off early", Recurrence: "read twice",
			Evaluation: "every bottle set apart", Commerce: "none left the house"})
	read := readText(t, sheetOf(t, h, h.blend.ID, Options{}))
	for _, want := range []string{"Cool well water", "Holding tank", "Problem put right: drawn off early", "Against its return: read twice", "Affected food looked at: every bottle set apart",
		"Kept from being sold: none left the house"} {
		assert.Contains(t, read, want)
	}
}

// The files kept with the records of the chains are in the packet as they came, listed in the manifest by their hash.
func TestPacketHoldsTheFiles(t *testing.T) {
	h := newSeason(t)
	runs, err := records.List[records.Run](h.ctx, h, "ORDER BY fire_lit_at")
	require.NoError(t, err)
	kept := records.Attachment{OfID: runs[0].ID, At: h.clock, Sort: records.AttachedLogger, Name: "kettle.csv", MediaType: "text/csv"}
	require.NoError(t, h.Attach(h.ctx, h.ada, &kept, []byte("time,C\n2025-12-07 07:00,20\n")))
	body, _ := packetOf(t, h, theDays, Options{})
	files := unpacked(t, body)
	assert.Equal(t, "time,C\n2025-12-07 07:00,20\n", string(files["attached/"+kept.ID+".csv"]))
	assert.Contains(t, string(files["manifest.sha256"]), kept.SHA256+"  attached/"+kept.ID+".csv")
	listed := rowsOf(t, files["tables/records/attachment.csv"])
	require.Len(t, listed, 1)
	assert.Equal(t, kept.SHA256, listed[0]["sha256"])
}
