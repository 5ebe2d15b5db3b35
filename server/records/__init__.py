"""What entries say, and which are taken: rules and folds on plain data. It knows neither Flask nor store."""
