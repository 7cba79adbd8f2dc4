package finish

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"time"
	"unicode/utf16"

	"loopwitness/report/pdffile"
)

// describe lets the document say what it is, in the form of this format's information and, with
// the same values, as XMP (ISO 16684-1); in which language; and in which colours it is drawn.
func describe(o *pdffile.Objects, d Document) {
	info := o.Dict(o.Info)
	about := description{Title: asText(info["Title"]), Author: asText(info["Author"]), Tool: d.Tool,
		Producer: asText(info["Producer"]), Language: d.Language, Made: d.Made.UTC()}
	set := func(key pdffile.Name, value string) {
		if delete(info, key); value != "" {
			info[key] = textString(value)
		}
	}
	set("Title", about.Title)
	set("Author", about.Author)
	set("Creator", about.Tool)
	set("Producer", about.Producer)
	made := pdffile.String{Bytes: []byte(about.Made.Format("D:20060102150405Z"))}
	info["CreationDate"], info["ModDate"] = made, made

	root := o.Dict(o.Root)
	root["Lang"] = pdffile.String{Bytes: []byte(about.Language)}
	root["ViewerPreferences"] = pdffile.Dict{"DisplayDocTitle": true}
	root["Metadata"] = o.Add(pdffile.Stream{Raw: about.xmp(), // not packed: for programs that read no PDF
		Dict: pdffile.Dict{"Type": pdffile.Name("Metadata"), "Subtype": pdffile.Name("XML")}})
	profile := o.Add(pdffile.Packed(pdffile.Dict{"N": whole(3), "Alternate": pdffile.Name("DeviceRGB")}, sRGB()))
	const name = "sRGB IEC61966-2.1"
	root["OutputIntents"] = pdffile.Array{pdffile.Dict{"Type": pdffile.Name("OutputIntent"),
		"S": pdffile.Name("GTS_PDFA1"), "OutputConditionIdentifier": pdffile.String{Bytes: []byte(name)},
		"Info": pdffile.String{Bytes: []byte(name)}, "DestOutputProfile": profile}}
}

// asText is a text string; "" for none.
func asText(o pdffile.Object) string {
	s, _ := o.(pdffile.String)
	return pdffile.Text(s)
}

// textString is a text string (ISO 32000-1, 7.9.2.2): plain where it can be, else UTF-16 with
// its mark.
func textString(s string) pdffile.String {
	plain := true
	for _, r := range s {
		plain = plain && r >= ' ' && r <= '~'
	}
	if plain {
		return pdffile.String{Bytes: []byte(s)}
	}
	out := []byte{0xfe, 0xff}
	for _, unit := range utf16.Encode([]rune(s)) {
		out = append(out, byte(unit>>8), byte(unit))
	}
	return pdffile.String{Bytes: out}
}

// description is what a document says of itself.
type description struct {
	Title, Author, Tool, Producer, Language string
	Made                                    time.Time
}

// xmp is the description as an XMP packet that is not to be edited in place.
func (a description) xmp() []byte {
	var b bytes.Buffer
	b.WriteString("<?xpacket begin=\"\ufeff\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n" + // the marker that XMP prescribes
		`<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">` + "\n" +
		`<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"` +
		` xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/">` + "\n")
	element := func(before, value, after string) {
		if value == "" {
			return
		}
		b.WriteString(before)
		_ = xml.EscapeText(&b, []byte(value)) // a buffer takes all
		b.WriteString(after + "\n")
	}
	made := a.Made.Format(time.RFC3339)
	element("<dc:format>", "application/pdf", "</dc:format>")
	element(`<dc:title><rdf:Alt><rdf:li xml:lang="x-default">`, a.Title, "</rdf:li></rdf:Alt></dc:title>")
	element("<dc:creator><rdf:Seq><rdf:li>", a.Author, "</rdf:li></rdf:Seq></dc:creator>")
	element("<dc:language><rdf:Bag><rdf:li>", a.Language, "</rdf:li></rdf:Bag></dc:language>")
	element("<xmp:CreatorTool>", a.Tool, "</xmp:CreatorTool>")
	element("<xmp:CreateDate>", made, "</xmp:CreateDate>")
	element("<xmp:ModifyDate>", made, "</xmp:ModifyDate>")
	element("<xmp:MetadataDate>", made, "</xmp:MetadataDate>")
	element("<pdf:Producer>", a.Producer, "</pdf:Producer>")
	fmt.Fprint(&b, "</rdf:Description>\n</rdf:RDF></x:xmpmeta>\n<?xpacket end=\"r\"?>")
	return b.Bytes()
}
