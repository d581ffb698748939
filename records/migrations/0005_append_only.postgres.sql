-- The new tables' rows stay as written too; see 0002.

CREATE TRIGGER content_no_change BEFORE UPDATE OR DELETE ON content FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER content_no_truncate BEFORE TRUNCATE ON content FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER attachment_no_change BEFORE UPDATE OR DELETE ON attachment FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER attachment_no_truncate BEFORE TRUNCATE ON attachment FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER phone_entry_no_change BEFORE UPDATE OR DELETE ON phone_entry FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER phone_entry_no_truncate BEFORE TRUNCATE ON phone_entry FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER logger_import_no_change BEFORE UPDATE OR DELETE ON logger_import FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER logger_import_no_truncate BEFORE TRUNCATE ON logger_import FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER fill_event_no_change BEFORE UPDATE OR DELETE ON fill_event FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER fill_event_no_truncate BEFORE TRUNCATE ON fill_event FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER net_sample_no_change BEFORE UPDATE OR DELETE ON net_sample FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER net_sample_no_truncate BEFORE TRUNCATE ON net_sample FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER net_table_no_change BEFORE UPDATE OR DELETE ON net_table FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER net_table_no_truncate BEFORE TRUNCATE ON net_table FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER cooling_test_no_change BEFORE UPDATE OR DELETE ON cooling_test FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER cooling_test_no_truncate BEFORE TRUNCATE ON cooling_test FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER trade_item_no_change BEFORE UPDATE OR DELETE ON trade_item FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER trade_item_no_truncate BEFORE TRUNCATE ON trade_item FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER label_answer_no_change BEFORE UPDATE OR DELETE ON label_answer FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER label_answer_no_truncate BEFORE TRUNCATE ON label_answer FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER label_count_no_change BEFORE UPDATE OR DELETE ON label_count FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER label_count_no_truncate BEFORE TRUNCATE ON label_count FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
CREATE TRIGGER tag_match_no_change BEFORE UPDATE OR DELETE ON tag_match FOR EACH ROW EXECUTE FUNCTION refuse_change();
CREATE TRIGGER tag_match_no_truncate BEFORE TRUNCATE ON tag_match FOR EACH STATEMENT EXECUTE FUNCTION refuse_change();
