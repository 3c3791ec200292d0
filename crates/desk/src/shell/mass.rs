//! Mass, balance, resin and what to buy.
