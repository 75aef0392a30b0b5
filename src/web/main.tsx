import '@fontsource/atkinson-hyperlegible/latin-400.css';
import '@fontsource/atkinson-hyperlegible/latin-700.css';
import '@fontsource/literata/latin-400.css';
import '@fontsource/literata/latin-400-italic.css';
import '@fontsource/literata/latin-600.css';
import './styles/base.css';
import './styles/controls.css';
import './styles/pages.css';
import './styles/forecast.css';
import './styles/print.css';
import { createRoot } from 'react-dom/client';
import { App } from './app/app.js';

createRoot(document.getElementById('root')!).render(<App />);
