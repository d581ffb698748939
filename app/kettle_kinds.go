package app

// kettleKinds are the kinds whose screens are the mill's and the kettle's; here they are only amended and struck.
func kettleKinds() []*kindPage {
	own := kindPage{See: reader, Write: crew, Order: "id"}
	return []*kindPage{
		simple(own, pressingForm, nil, nil),
		simple(own, runForm, nil, nil),
		simple(own, entryForm, nil, nil),
		simple(own, readingForm, nil, nil),
		simple(own, additionForm, nil, nil),
		simple(own, washForm, nil, nil),
		simple(own, linkForm, nil, nil),
		simple(own, attachmentForm, nil, nil),
		simple(own, loggerImportForm, nil, nil),
	}
}
