//! trade_facts
