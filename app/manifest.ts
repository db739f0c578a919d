import type { MetadataRoute } from 'next';

/**
 * What a device needs to keep Breathmark beside its other programs. Opened from there it begins with the bands that the device is in,
 * which the service worker has without a connection too. A manifest knows one colour of each kind: those of the day; by night
 * the page's own `theme-color` takes over. Source: W3C Web Application Manifest.
 */
export default function manifest(): MetadataRoute.Manifest {
  return {
    id: '/',
    name: 'Breathmark',
    short_name: 'Breathmark',
    description:
      'A shared board on which an acoustic string band works out who plays what where the singer rests.',
    lang: 'en',
    dir: 'ltr',
    start_url: '/',
    scope: '/',
    display: 'standalone',
    background_color: '#faf6ee',
    theme_color: '#faf6ee',
    categories: ['music'],
    icons: [
      { src: '/icon.svg', sizes: 'any', type: 'image/svg+xml', purpose: 'any' },
      { src: '/icons/192.png', sizes: '192x192', type: 'image/png', purpose: 'any' },
      { src: '/icons/512.png', sizes: '512x512', type: 'image/png', purpose: 'any' },
      { src: '/icons/mask-192.png', sizes: '192x192', type: 'image/png', purpose: 'maskable' },
      { src: '/icons/mask-512.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
    ],
  };
}
