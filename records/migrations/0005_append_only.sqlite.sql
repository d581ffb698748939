-- The new tables' rows stay as written too; see 0002.

CREATE TRIGGER content_no_update BEFORE UPDATE ON content BEGIN SELECT RAISE(ABORT, 'content rows stay as written: amend by a new revision'); END;
CREATE TRIGGER content_no_delete BEFORE DELETE ON content BEGIN SELECT RAISE(ABORT, 'content rows are never deleted'); END;
CREATE TRIGGER attachment_no_update BEFORE UPDATE ON attachment BEGIN SELECT RAISE(ABORT, 'attachment rows stay as written: amend by a new revision'); END;
CREATE TRIGGER attachment_no_delete BEFORE DELETE ON attachment BEGIN SELECT RAISE(ABORT, 'attachment rows are never deleted'); END;
CREATE TRIGGER phone_entry_no_update BEFORE UPDATE ON phone_entry BEGIN SELECT RAISE(ABORT, 'phone_entry rows stay as written: amend by a new revision'); END;
CREATE TRIGGER phone_entry_no_delete BEFORE DELETE ON phone_entry BEGIN SELECT RAISE(ABORT, 'phone_entry rows are never deleted'); END;
CREATE TRIGGER logger_import_no_update BEFORE UPDATE ON logger_import BEGIN SELECT RAISE(ABORT, 'logger_import rows stay as written: amend by a new revision'); END;
CREATE TRIGGER logger_import_no_delete BEFORE DELETE ON logger_import BEGIN SELECT RAISE(ABORT, 'logger_import rows are never deleted'); END;
CREATE TRIGGER fill_event_no_update BEFORE UPDATE ON fill_event BEGIN SELECT RAISE(ABORT, 'fill_event rows stay as written: amend by a new revision'); END;
CREATE TRIGGER fill_event_no_delete BEFORE DELETE ON fill_event BEGIN SELECT RAISE(ABORT, 'fill_event rows are never deleted'); END;
CREATE TRIGGER net_sample_no_update BEFORE UPDATE ON net_sample BEGIN SELECT RAISE(ABORT, 'net_sample rows stay as written: amend by a new revision'); END;
CREATE TRIGGER net_sample_no_delete BEFORE DELETE ON net_sample BEGIN SELECT RAISE(ABORT, 'net_sample rows are never deleted'); END;
CREATE TRIGGER net_table_no_update BEFORE UPDATE ON net_table BEGIN SELECT RAISE(ABORT, 'net_table rows stay as written: amend by a new revision'); END;
CREATE TRIGGER net_table_no_delete BEFORE DELETE ON net_table BEGIN SELECT RAISE(ABORT, 'net_table rows are never deleted'); END;
CREATE TRIGGER cooling_test_no_update BEFORE UPDATE ON cooling_test BEGIN SELECT RAISE(ABORT, 'cooling_test rows stay as written: amend by a new revision'); END;
CREATE TRIGGER cooling_test_no_delete BEFORE DELETE ON cooling_test BEGIN SELECT RAISE(ABORT, 'cooling_test rows are never deleted'); END;
CREATE TRIGGER trade_item_no_update BEFORE UPDATE ON trade_item BEGIN SELECT RAISE(ABORT, 'trade_item rows stay as written: amend by a new revision'); END;
CREATE TRIGGER trade_item_no_delete BEFORE DELETE ON trade_item BEGIN SELECT RAISE(ABORT, 'trade_item rows are never deleted'); END;
CREATE TRIGGER label_answer_no_update BEFORE UPDATE ON label_answer BEGIN SELECT RAISE(ABORT, 'label_answer rows stay as written: amend by a new revision'); END;
CREATE TRIGGER label_answer_no_delete BEFORE DELETE ON label_answer BEGIN SELECT RAISE(ABORT, 'label_answer rows are never deleted'); END;
CREATE TRIGGER label_count_no_update BEFORE UPDATE ON label_count BEGIN SELECT RAISE(ABORT, 'label_count rows stay as written: amend by a new revision'); END;
CREATE TRIGGER label_count_no_delete BEFORE DELETE ON label_count BEGIN SELECT RAISE(ABORT, 'label_count rows are never deleted'); END;
CREATE TRIGGER tag_match_no_update BEFORE UPDATE ON tag_match BEGIN SELECT RAISE(ABORT, 'tag_match rows stay as written: amend by a new revision'); END;
CREATE TRIGGER tag_match_no_delete BEFORE DELETE ON tag_match BEGIN SELECT RAISE(ABORT, 'tag_match rows are never deleted'); END;
